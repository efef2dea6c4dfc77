"""Files of IES LM-63: what they say, edition by edition, and what is refused."""

from __future__ import annotations

import re
from contextlib import suppress
from pathlib import Path

import numpy as np
import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from scenes.errors import InputError
from scenes.geometry import axes_facing
from scenes.lamps.distribution import Distribution
from scenes.lamps.files.ies import read_ies
from tests.unit.scenes.lamps.test_distribution import random_distribution, seeds

DOWNLIGHT = Path(__file__).parents[4] / "data" / "downlight.ies"


def ies(
    *,
    first: str = "IESNA:LM-63-2002\n",
    tilt: str = "TILT=NONE",
    lamps: str = "1 -1",
    multiplier: str = "1",
    counts: str | None = None,
    kind: str = "1 2",
    opening: str = "0 0 0",
    ballast: str = "1 1 20",
    vertical: str = "0 90",
    horizontal: str = "0",
    candela: str = "100 0",
) -> str:
    """Return the text of a file, whole unless its parts are not."""
    counts = counts or f"{len(vertical.split())} {len(horizontal.split())}"
    header = f"{lamps} {multiplier} {counts} {kind} {opening}"
    return "\n".join([f"{first}[TEST] 1\n{tilt}", header, ballast, vertical, horizontal, candela, ""])


def written(light: Distribution) -> str:
    """Return a distribution as a file; planes count the other way round than turns."""
    vertical, planes = light.polar_deg, light.turn_deg if light.is_round else 360 - light.turn_deg[::-1]
    candela = light.intensity[:, ::-1].T
    return ies(
        vertical=" ".join(map(repr, vertical.tolist())),
        horizontal="\n".join(map(repr, planes.tolist())),
        candela="\n".join(", ".join(map(repr, row)) for row in candela.tolist()),
    )


def refusal(text: str) -> str:
    """Return the sentence with which the text is refused."""
    with pytest.raises(InputError) as caught:
        read_ies(text)
    sentence = str(caught.value)
    assert "\n" not in sentence
    assert len(sentence) < 300
    return sentence


@given(seeds)
def test_what_is_written_is_read_again(seed: int) -> None:
    light = random_distribution(seed)
    read = read_ies(written(light)).distribution
    np.testing.assert_allclose(read.polar_deg, light.polar_deg, rtol=1e-12)
    np.testing.assert_allclose(read.turn_deg, light.turn_deg, rtol=1e-9, atol=1e-9)
    np.testing.assert_allclose(read.intensity, light.intensity, rtol=1e-12)


def test_an_example_written_by_others_is_read() -> None:
    lamp = read_ies(DOWNLIGHT.read_text())
    assert lamp.distribution.at([0, 2.5, 45, 87.5, 90]).tolist() == [2200, 2000.2, 40.1, 1, 0]
    assert (lamp.source_lumens, lamp.watts, lamp.shape, lamp.size_cm) == (500, 15, "disc", (12, 12))
    assert lamp.notes == ("its intensities add up to 904.5 lm, more than the 500 lm that it states",)


@pytest.mark.parametrize(
    ("horizontal", "candela", "by_turn"),
    [
        ("0", "8 8", {0: 8, 77: 8, 180: 8}),
        ("0 90", "2 2 6 6", {0: 2, 45: 4, 90: 6, 135: 4, 180: 2, 225: 4, 270: 6, 330: 2 + 4 / 3}),
        ("0 90 180", "2 2 6 6 4 4", {0: 2, 90: 6, 180: 4, 135: 5, 225: 5, 270: 6}),
        ("90 180 270", "2 2 6 6 4 4", {270: 2, 180: 6, 0: 6, 90: 4, 45: 5, 135: 5, 315: 4}),
        ("90 150 270", "2 2 6 6 4 4", {270: 2, 210: 6, 330: 6, 90: 4, 0: 5.5, 180: 5.5}),
        ("0 90 180 270 360", "2 2 6 6 4 4 8 8 2 2", {0: 2, 270: 6, 180: 4, 90: 8, 45: 5}),
        ("0 90 180 270", "2 2 6 6 4 4 8 8", {0: 2, 270: 6, 180: 4, 90: 8, 45: 5}),
        ("0 360", "3 3 3 3", {0: 3, 77: 3}),
        ("0 90.004 180", "2 2 6 6 4 4", {270: 6}),
        ("0 89.996", "2 2 6 6", {90: 6, 180: 2}),
    ],
    ids=[
        "round",
        "quarters",
        "halves",
        "halves from 90",
        "halves without 180",
        "whole",
        "open",
        "two",
        "near",
        "near end",
    ],
)
def test_planes_are_completed_by_their_symmetry_and_count_against_turns(
    horizontal: str, candela: str, by_turn: dict[float, float]
) -> None:
    """C-planes go round anticlockwise seen from above (LM-63-2002, 3.0), so clockwise about the way a lamp faces."""
    light = read_ies(ies(horizontal=horizontal, candela=candela)).distribution
    np.testing.assert_allclose(light.at(40, list(by_turn)), list(by_turn.values()), rtol=1e-4)


def test_plane_90_of_a_lamp_that_faces_down_lies_anticlockwise_of_plane_0_seen_from_above() -> None:
    light = read_ies(ies(horizontal="0 90 180 270 360", candela="1 1 5 5 1 1 1 1 1 1")).distribution
    width, height, _ = axes_facing((0, 0, -1)).T
    anticlockwise = np.cross([0, 0, 1], width)
    turn = np.degrees(np.arctan2(anticlockwise @ height, anticlockwise @ width))
    assert light.at(90, turn) == 5


@pytest.mark.parametrize(
    ("vertical", "candela", "by_polar"),
    [
        ("0 90", "4 2", {0: 4, 45: 3, 90: 2, 91: 0}),
        ("0 180", "4 2", {90: 3, 180: 2}),
        ("90 180", "4 2", {0: 0, 89: 0, 90: 4, 135: 3, 180: 2}),
        ("0 60", "4 2", {30: 3, 60: 2, 61: 0}),
    ],
)
def test_vertical_angle_0_is_the_way_the_lamp_faces(vertical: str, candela: str, by_polar: dict[float, float]) -> None:
    light = read_ies(ies(vertical=vertical, candela=candela)).distribution
    np.testing.assert_allclose(light.at(list(by_polar)), list(by_polar.values()), rtol=1e-12)


def test_angles_that_end_early_are_noted() -> None:
    assert read_ies(ies(vertical="0 60")).notes == (
        "its vertical angles end at 60 degrees; beyond it is taken as dark",
    )


@pytest.mark.parametrize(
    ("first", "peak"),
    [
        ("", 100 * 2 * 0.5 * 0.8),
        ("some maker's lamp\n", 80),
        ("IESNA91\n", 80),
        ("\n IESNA:LM-63-1986\n", 80),
        ("IESNA:LM-63-1995\n", 100),
        ("IESNA:LM-63-2002\n", 100),
        ("IES:LM-63-2019\n", 100),
    ],
)
def test_the_ballast_lamp_factor_counts_in_editions_before_1995(first: str, peak: float) -> None:
    lamp = read_ies(ies(first=first, multiplier="2", ballast="0.5 0.8 20"))
    assert lamp.distribution.at(0) == pytest.approx(peak)


def test_lumens_are_those_that_leave_the_lamp() -> None:
    lamp = read_ies(ies(lamps="2 400", vertical="0 180", candela="50 50"))
    assert lamp.lumens == pytest.approx(4 * np.pi * 50)
    assert lamp.source_lumens == 800
    assert lamp.notes == ()


def test_absolute_photometry_states_no_lumens_of_a_source() -> None:
    assert read_ies(ies()).source_lumens is None


@pytest.mark.parametrize(
    ("first", "opening", "shape", "size_cm"),
    [
        ("IESNA:LM-63-2002\n", "0 0 0", "point", (0, 0)),
        ("IESNA:LM-63-2002\n", "0.2 0.5 0", "rectangle", (50, 20)),
        ("IESNA:LM-63-2002\n", "0.2 0.5 0.1", "rectangle", (50, 20)),
        ("IESNA:LM-63-2002\n", "-0.2 -0.2 0", "disc", (20, 20)),
        ("IESNA:LM-63-2002\n", "-0.2 -0.8 0", "disc", (40, 40)),
        ("IESNA:LM-63-2002\n", "-0.2 -0.2 -0.2", "disc", (20, 20)),
        ("IESNA:LM-63-2002\n", "-0.2 0.5 -0.2", "rectangle", (50, 20)),
        ("IESNA:LM-63-2002\n", "0.2 -0.5 -0.2", "rectangle", (50, 20)),
        ("IESNA:LM-63-2002\n", "0 0.5 0", "point", (0, 0)),
        ("IESNA:LM-63-1995\n", "-0.2 0 0", "disc", (20, 20)),
        ("IESNA:LM-63-1995\n", "-0.2 0 0.3", "disc", (20, 20)),
        ("IESNA:LM-63-1995\n", "-0.2 0 -0.2", "disc", (20, 20)),
        ("IESNA:LM-63-1995\n", "0 0.5 -0.2", "rectangle", (50, 20)),
        ("IESNA:LM-63-1995\n", "0.2 0 -0.5", "rectangle", (50, 20)),
        ("IESNA:LM-63-1995\n", "-0.2 0.8 0", "disc", (40, 40)),
        ("IESNA:LM-63-1995\n", "-0.2 0.8 -0.3", "disc", (40, 40)),
    ],
)
def test_openings_by_the_signs_of_their_edition(
    first: str, opening: str, shape: str, size_cm: tuple[float, float]
) -> None:
    """LM-63-2002, table 1; LM-63-1995 as in Ashdown, "Parsing the IESNA LM-63 Photometric Data File", 1998."""
    lamp = read_ies(ies(first=first, opening=opening))
    assert lamp.shape == shape
    assert lamp.size_cm == pytest.approx(size_cm)


def test_feet_are_feet() -> None:
    assert read_ies(ies(kind="1 1", opening="1 2 0")).size_cm == pytest.approx((60.96, 30.48))


def test_what_an_opening_is_taken_for_is_noted() -> None:
    assert read_ies(ies(opening="-0.2 -0.8 0.1")).notes == (
        "its opening is 10 cm high too; all of its light is taken to leave through its face",
        "its opening, an ellipse 80 by 20 cm, is taken as a disc of the same area",
    )


def test_tilt_that_is_included_is_read_over_and_noted() -> None:
    lamp = read_ies(ies(tilt="TILT=INCLUDE\n1\n3\n0 45 90\n1 .9 .8"))
    assert lamp.distribution.at(0) == 100
    assert lamp.notes == ("how its light changes with the lamp's tilt is left out",)


def test_planes_of_0_and_360_that_differ_are_noted() -> None:
    lamp = read_ies(ies(horizontal="0 180 360", candela="100 0 100 0 90 0"))
    assert lamp.notes == ("its planes of 0 and 360 degrees differ; that of 0 is taken",)


@pytest.mark.parametrize(
    ("text", "part"),
    [
        ("hello\nworld\n", "no photometric file of IES LM-63: it has no line that begins with TILT="),
        (ies(tilt="TILT=lamp.tlt"), "line 3 names another file, 'lamp.tlt', for tilted lamps"),
        (ies(tilt="TILT=INCLUDE\n1\n900\n0 45"), "should have 1800 angles and factors for tilts, and has"),
        (ies()[:-30], "it should have 13 numbers after its line TILT=, and has 5"),
        (ies()[:-3], "it is cut short: it should have 5 angles and candela, and has 4"),
        (ies(candela="100 0 7"), "line 8 goes on with '7', should be the end"),
        (ies(candela="100 abc"), "line 8 has 'abc' as candela, should be a number"),
        (ies(candela="100 nan"), "line 8 has 'nan' as candela, should be a number"),
        (ies(candela="100 inf"), "line 8 has 'inf' as candela, should be a number"),
        (ies(candela="100 1_0"), "line 8 has '1_0' as candela, should be a number"),
        (ies(candela="100 ٣"), "line 8 has '٣' as candela, should be a number"),
        (ies(candela="100 1e400"), "line 8 has '1e400' as candela, should be at least 0 and at most 1000000000"),
        (ies(candela="100 -1"), "line 8 has '-1' as candela, should be at least 0"),
        (ies(candela="0 0"), "its light cannot be used: the lamp shines nowhere"),
        (ies(multiplier="1e8"), "its candela, times its factors, reach 1e+10, should be from 0 to 1e+09"),
        (ies(first="", ballast="1 -1 20"), "its candela, times its factors, reach"),
        (ies(multiplier="0"), "line 4 has '0' as the multiplier of the candela, should be above 0"),
        (ies(ballast="0 1 20"), "line 5 has '0' as the ballast factor, should be above 0"),
        (ies(ballast="1 1 -20"), "line 5 has '-20' as the watts, should be at least 0"),
        (ies(lamps="0 100"), "line 4 has '0' as the number of lamps, should be at least 1"),
        (ies(counts="1000000000 1"), "'1000000000' as the number of vertical angles, should be at least 2 and at most"),
        (ies(counts="2.5 1"), "line 4 has 2.5 as the number of vertical angles, should be a whole number"),
        (ies(counts="9999 9999"), "it should have 99999999 angles and candela, and has 5"),
        (ies(kind="2 2"), "it is photometry of type B, should be of type C"),
        (ies(kind="3 2"), "it is photometry of type A, should be of type C"),
        (ies(kind="4 2"), "'4' as the photometric type, should be at least 1 and at most 3"),
        (ies(kind="1 3"), "'3' as the unit (1 for feet, 2 for metres), should be at least 1 and at most 2"),
        (ies(opening="500 1 0"), "its opening is 500 m long, should be under 100"),
        (ies(vertical="0 90 80", candela="1 1 1"), "its vertical angles should rise, and 80 comes after 90"),
        (ies(vertical="0 0", candela="1 1"), "its vertical angles should rise, and 0 comes after 0"),
        (ies(vertical="10 90"), "its vertical angles run from 10 to 90, should run from 0 to 90, 0 to 180 or"),
        (ies(vertical="0 190"), "its vertical angles run from 0 to 190, should"),
        (ies(vertical="-90 90"), "its vertical angles run from -90 to 90, should"),
        (ies(horizontal="0 45", candela="1 1 1 1"), "its horizontal angles run from 0 to 45, should be 0 alone or"),
        (ies(horizontal="0 200", candela="1 1 1 1"), "its horizontal angles run from 0 to 200, should"),
        (ies(horizontal="0 90 180 250", candela="1 " * 8), "its horizontal angles run from 0 to 250, should"),
        (ies(horizontal="5", candela="1 1"), "its horizontal angles run from 5 to 5, should"),
        (ies(horizontal="0 180 90", candela="1 1 1 1 1 1"), "its horizontal angles should rise, and 90 comes after"),
    ],
)
def test_each_defect_is_refused_in_one_sentence(text: str, part: str) -> None:
    assert part in refusal(text)


def test_a_word_without_end_is_shown_short() -> None:
    assert len(refusal(ies(candela="100 " + "x" * 100_000))) < 120


WHOLE = ies(lamps="2 400", opening="-.2 0 .1", horizontal="0 90 180", candela="9 8\n7 6 5\n4")
WORDS = re.findall(r"\S+|\s+", WHOLE)


@given(st.text())
@example("TILT=NONE")
@example("TILT=INCLUDE\n1 2")
def test_any_text_is_read_or_refused(text: str) -> None:
    with suppress(InputError):
        read_ies(text)


@given(
    st.integers(0, len(WORDS) - 1),
    st.sampled_from(
        ["", "0", "-1", "1", "2", "3", "90", "180", "270", "360", "1e9", "1e-300", "nan", "\n", ",", "9" * 20]
    )
    | st.floats().map(str),
    st.integers(0, len(WORDS) - 1),
    st.sampled_from(["", "0", "-1", "1e9", "90", "7 7"]),
)
def test_a_file_with_two_words_changed_is_read_or_refused(at: int, word: str, other: int, more: str) -> None:
    words = list(WORDS)
    words[at], words[other] = word, more
    with suppress(InputError):
        lamp = read_ies("".join(words))
        assert 0 < lamp.lumens < np.inf
        assert (lamp.shape == "point") == (lamp.size_cm == (0, 0))
