"""Stand-ins: whole, on the table, in their size, finished, and honest about what they are."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest

from scenes.cleaning import cleaned
from scenes.demo.sweeps import Mesh, volume
from scenes.errors import InputError
from scenes.loading import read_arrangement, subject_of
from scenes.standins import STAND_INS, STANDIN_SIZE_CM, load_standin, standin_words, with_standin


def test_the_kinds_are_those_that_builders_ask_for() -> None:
    assert set(STAND_INS) == {"figure", "bust", "aircraft", "tank", "car", "ship", "spoon"}


@pytest.mark.parametrize("name", STAND_INS)
def test_every_part_is_closed_and_looks_outwards(name: str) -> None:
    for part, vertices, faces in load_standin(name):
        assert volume(Mesh(vertices.astype(float), faces.astype(np.int64))) > 0, part
        findings = [finding for finding in cleaned(vertices, faces).findings if "without area" not in finding]
        assert findings == [], part


@pytest.mark.parametrize("name", STAND_INS)
def test_it_stands_on_the_table_in_its_usual_size_or_in_the_one_that_is_said(name: str, tmp_path: Path) -> None:
    key, cm = STANDIN_SIZE_CM[name]
    axis = {"width_cm": 0, "length_cm": 1, "height_cm": 2}[key]
    for said, expected in (("", cm), (f"{key} = 7.5", 7.5)):
        (tmp_path / "a.toml").write_text(f'[subject]\nmesh = "stand-in:{name}"\nfaces_deg = 0\n{said}\n')
        subject = subject_of(read_arrangement(tmp_path / "a.toml"), tmp_path)
        assert subject is not None
        assert np.ptp(subject.bounds_cm, axis=0)[axis] == pytest.approx(expected, rel=1e-5)
        assert subject.bounds_cm[0, 2] == pytest.approx(0, abs=1e-6)
        assert subject.notes == ()


@pytest.mark.parametrize("name", STAND_INS)
def test_every_finish_is_of_a_part_that_it_has(name: str, tmp_path: Path) -> None:
    (tmp_path / "a.toml").write_text(f'[subject]\nmesh = "stand-in:{name}"\n')
    arrangement = read_arrangement(tmp_path / "a.toml")
    subject = subject_of(arrangement, tmp_path)
    assert subject is not None
    assert arrangement.subject is not None
    assert arrangement.subject.parts
    assert all(subject.matching(said.match) for said in arrangement.subject.parts)


def test_what_the_arrangement_says_goes_before_what_is_usual() -> None:
    own = {"mesh": "stand-in:car", "faces_deg": 5, "parts": [{"match": "body", "base": "#102030"}]}
    subject = with_standin({"subject": own})["subject"]
    assert subject["faces_deg"] == 5
    assert subject["parts"][-1] == own["parts"][0]  # type: ignore[index]


def test_an_unknown_one_is_told_with_the_nearest() -> None:
    with pytest.raises(InputError, match="no stand-in is called 'shop'"):
        with_standin({"subject": {"mesh": "stand-in:shop"}})


@pytest.mark.parametrize("name", STAND_INS)
def test_it_says_what_to_trust_and_what_not(name: str) -> None:
    assert "trust it for" in standin_words(name) or "trust lamp places" in standin_words(name)
    assert "not" in standin_words(name)
