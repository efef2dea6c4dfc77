"""Small frames of every setup of the demo model, traced once for all tests that look at them."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest

from gallery.frames.shots import shots_of
from gallery.inputs import open_input
from render.images.jobs import take_all
from render.images.store import Store
from render.images.tracing import Tracing
from scenes.setups.setup import setup_names
from tests.support.measured import Measured
from tests.support.notes import note

SMALL = (150, 200)
PASSES = 4
FACTS = "facts of the trade (common practice, no source), on the demo model"


@pytest.fixture(scope="session")
def demo(tmp_path_factory: pytest.TempPathFactory) -> dict[str, Measured]:
    """Every setup of the demo model, measured zone by zone."""
    tracing = Tracing(Store(tmp_path_factory.mktemp("store")))
    shots = shots_of(open_input(None, {}), setup_names(), (), SMALL)
    frames = take_all(shots, tracing, PASSES)
    return {frame.setup.name: Measured(frame, tracing, PASSES) for _, frame in frames}


@pytest.fixture
def fact() -> Iterator[list[str]]:
    """Lines that a test adds are printed in the summary: the numbers behind a fact of the trade."""
    lines: list[str] = []
    yield lines
    for line in lines:
        note(FACTS, line)


@pytest.fixture(autouse=True)
def _own_cache(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("SPRUELIGHT_CACHE", str(tmp_path / "cache"))
