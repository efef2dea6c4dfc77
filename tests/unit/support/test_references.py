"""What is kept of the oracle: read as it was written, and refused when anything that it depends on has changed."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from render.images import bands
from tests.support.kernel import references
from tests.support.kernel.cases import Case, cases
from tests.support.kernel.references import FOLDER, Reference, StaleReferenceError, keep, key, path_of, stored
from tests.support.kernel.summaries import summarize
from tests.support.still_life import FINISHES, OVERHEAD, still_life

NAME = "panel, matt"
SHAPE = (32, 12, 96, 128)


def other_scenes(case: Case) -> dict[str, Case]:
    return {
        "finish": replace(case, geometry=still_life(FINISHES["rough metal"])),
        "pixels": replace(case, geometry=still_life(FINISHES["matt"], height_px=48)),
        "lamps": replace(case, lamps=(OVERHEAD,)),
        "lamp twice": replace(case, lamps=case.lamps * 2),
        "samples": replace(case, samples=1024),
        "seeds": replace(case, number=99),
    }


@pytest.fixture
def folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.setattr(references, "FOLDER", tmp_path)
    return tmp_path


@pytest.fixture
def reference() -> Reference:
    pictures = np.random.default_rng(1).random(SHAPE)
    mask = np.arange(SHAPE[2] * SHAPE[3]).reshape(SHAPE[2:]) % 3 == 0
    return Reference("live", mask, summarize(pictures, mask))


def test_every_case_has_its_file_and_every_file_its_case() -> None:
    assert {path_of(name) for name in cases()} == set(FOLDER.iterdir())


@pytest.mark.usefixtures("folder")
def test_a_reference_is_read_as_it_was_kept(reference: Reference) -> None:
    keep(NAME, reference)
    found = stored(NAME)
    assert found.traced == "before"
    np.testing.assert_array_equal(found.subject, reference.subject)
    for part, estimate in vars(reference.summary).items():
        again = getattr(found.summary, part)
        np.testing.assert_array_equal(again.mean, estimate.mean)
        np.testing.assert_array_equal(again.variance, estimate.variance)
        assert again.batches == estimate.batches == 32


@pytest.mark.usefixtures("folder")
def test_a_reference_of_another_renderer_is_refused_with_the_command_that_makes_it_anew(
    reference: Reference, monkeypatch: pytest.MonkeyPatch
) -> None:
    keep(NAME, reference)
    monkeypatch.setattr(references, "version", lambda _: "9.9.9")
    with pytest.raises(StaleReferenceError, match=r"panel-matt\.npz is of another .*python -m tests\.data_scripts"):
        stored(NAME)


@pytest.mark.usefixtures("folder")
def test_a_reference_that_is_missing_is_refused_with_the_command_that_makes_it() -> None:
    with pytest.raises(StaleReferenceError, match=r"panel-matt\.npz is missing; .*python -m tests\.data_scripts"):
        stored(NAME)


def test_no_two_scenes_have_one_key() -> None:
    scenes = {**cases(), **other_scenes(cases()[NAME])}
    assert len({key(case) for case in scenes.values()}) == len(scenes)


@pytest.mark.parametrize("source", ["oracle", "oracle_finishes", "summaries"])
def test_the_key_is_another_when_the_oracles_code_is(
    source: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    case, module = cases()[NAME], getattr(references, source)
    code, before = Path(module.__file__).read_text(encoding="utf-8"), key(cases()[NAME])
    keys = []
    for text in (f"import this\n{code}", f"{code}x = 1\n"):
        (tmp_path / "code.py").write_text(text, encoding="utf-8")
        monkeypatch.setattr(module, "__file__", str(tmp_path / "code.py"))
        keys.append(key(case))
    assert keys[0] == before  # an import changes nothing that it does
    assert keys[1] != before


def test_the_key_is_another_when_the_bands_are(monkeypatch: pytest.MonkeyPatch) -> None:
    before, nodes = key(cases()[NAME]), bands.band_nodes

    def moved(band: int) -> tuple[Any, Any]:
        wavelengths, values = nodes(band)
        return wavelengths + 1, values

    monkeypatch.setattr(bands, "band_nodes", moved)
    assert key(cases()[NAME]) != before


def test_the_key_is_the_same_where_values_differ_by_rounding() -> None:
    case = cases()[NAME]
    (lamp,) = case.lamps
    assert key(replace(case, lamps=(replace(lamp, at=lamp.at * (1 + 2**-52)),))) == key(case)
