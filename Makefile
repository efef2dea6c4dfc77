# Needs Python 3.11 to 3.13, git and make; each target does its own set-up in .venv.
PYTHON ?= python3
BIN = .venv/bin
READY = .venv/ready
TEST_READY = .venv/test-ready
BROWSER_READY = .venv/browser-ready

WORKERS ?= 2
PYTEST = $(BIN)/python -m pytest -n $(WORKERS)

.PHONY: sheet test quick test-all test-browser test-faults lint bench gallery demo-model clean

sheet: $(READY)  ## the contact sheet of the demo model, in sheet/
	$(BIN)/spruelight sheet --out sheet

test: $(TEST_READY)  ## lint, types, import rule, and every test but the slow ones
	$(MAKE) --jobs 2 lint quick

quick: $(TEST_READY)
	$(PYTEST) -m "not slow"

test-all: test  ## `make test`, then what it leaves out: slow tests, and many drawn examples in place of few
	$(PYTEST) -m "slow or hypothesis" --hypothesis-profile many --ignore tests/faults

test-browser: $(BROWSER_READY)  ## the page in Chromium, which is installed where apt may or else asked for
	$(BIN)/python -m tests.browser.harness.chromium
	$(BIN)/python -m pytest tests/browser

test-faults: $(TEST_READY)  ## kills, signals, damaged caches, full disks: a table of what is lost and said; half an hour
	$(BIN)/python -m pytest tests/faults

lint: $(TEST_READY)
	$(BIN)/ruff check .
	$(BIN)/ruff format --check .
	$(BIN)/mypy
	$(BIN)/lint-imports

bench: $(TEST_READY)  ## speed and memory on this machine
	$(BIN)/python -m tests.bench.main_job

gallery: $(BROWSER_READY)  ## remake the pictures that the README shows
	$(BIN)/python -m tests.data_scripts.make_gallery

demo-model: $(TEST_READY)  ## remake the demo model's file
	$(BIN)/python -m tests.data_scripts.diver.build

clean:
	rm -rf .venv build *.egg-info sheet

$(READY): pyproject.toml
	$(PYTHON) -m venv .venv
	$(BIN)/pip install --quiet --disable-pip-version-check -e .
	touch $@

$(TEST_READY): $(READY)
	$(BIN)/pip install --quiet --disable-pip-version-check -e ".[test,cluster]"
	touch $@

$(BROWSER_READY): $(TEST_READY)
	$(BIN)/pip install --quiet --disable-pip-version-check -e ".[browser]"
	touch $@
