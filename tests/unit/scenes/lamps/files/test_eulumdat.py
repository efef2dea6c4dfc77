"""Files of EULUMDAT: what they say, and what is refused."""

from __future__ import annotations

from contextlib import suppress

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from scenes.errors import InputError
from scenes.lamps.files.eulumdat import read_eulumdat

RATIOS = ["0.5"] * 10
ONE_SET = ("1", "LED", "2000", "4000 K", "90", "25")


def ldt(
    *,
    symmetry: str = "1",
    planes: str = "0",
    angles: str = "0 90",
    intensities: str = "100 0",
    area_mm: tuple[str, str] = ("0", "0"),
    factor: str = "1",
    tilt: str = "0",
    sets: tuple[tuple[str, ...], ...] = (ONE_SET,),
) -> list[str]:
    """Return the lines of a file (Stockmar 1990), whole unless its parts are not."""
    counts = [str(len(planes.split())), "0", str(len(angles.split())), "0"]
    head = ["maker", "1", symmetry, *counts, "report", "name", "number", "file", "date", "300", "200", "50"]
    lamps = [str(len(sets)), *(line for one in sets for line in one)]
    sizes = [*area_mm, "1", "2", "3", "4", "100", "80", factor, tilt]
    return [*head, *sizes, *lamps, *RATIOS, *planes.split(), *angles.split(), *intensities.split()]


def text(lines: list[str]) -> str:
    return "\r\n".join(lines) + "\r\n"


def refusal(lines: list[str]) -> str:
    """Return the sentence with which the lines are refused."""
    with pytest.raises(InputError) as caught:
        read_eulumdat(text(lines))
    sentence = str(caught.value)
    assert "\n" not in sentence
    assert len(sentence) < 300
    return sentence


TWELVE = " ".join(str(angle) for angle in range(0, 360, 30))


@pytest.mark.parametrize(
    ("symmetry", "planes", "values", "by_turn"),
    [
        ("1", "0", "5", {0: 5, 123: 5}),
        ("1", TWELVE, "5", {0: 5, 123: 5}),
        ("0", "0 90 180 270", "2 6 4 8", {0: 2, 270: 6, 180: 4, 90: 8, 315: 4}),
        ("2", "0 90 180 270", "2 6 4", {0: 2, 270: 6, 90: 6, 180: 4}),
        ("3", "0 90 180 270", "2 6 4", {90: 2, 0: 6, 180: 6, 270: 4, 315: 5}),
        ("3", TWELVE, "1 2 3 4 5 6 7", {90: 1, 60: 2, 120: 2, 0: 4, 180: 4, 300: 6, 240: 6, 270: 7}),
        ("4", "0 90 180 270", "2 6", {0: 2, 90: 6, 180: 2, 270: 6, 45: 4}),
    ],
)
def test_planes_are_completed_by_their_symmetry(
    symmetry: str, planes: str, values: str, by_turn: dict[float, float]
) -> None:
    """Planes stored by symmetry: all; one; 0 to 180; 270 over 0 to 90; 0 to 90 (EULUMDAT, Mc1 and Mc2)."""
    lines = ldt(symmetry=symmetry, planes=planes, intensities=" ".join(f"{value} {value}" for value in values.split()))
    light = read_eulumdat(text(lines)).distribution
    np.testing.assert_allclose(light.at(30, list(by_turn)), 2 * np.array(list(by_turn.values())), rtol=1e-12)


def test_intensities_are_per_thousand_lumens_of_the_source_times_their_factor() -> None:
    sets = (("2", "LED", "800", "4000 K", "90", "25"),)
    lamp = read_eulumdat(text(ldt(factor="1.5", angles="0 180", intensities="50 50", sets=sets)))
    assert lamp.lumens == pytest.approx(4 * np.pi * 50 * 1.5 * 800 / 1000)
    assert (lamp.source_lumens, lamp.watts) == (800, 25)


def test_absolute_photometry_has_a_negative_number_of_sources() -> None:
    lamp = read_eulumdat(text(ldt(sets=(("-1", *ONE_SET[1:]),))))
    assert lamp.source_lumens is None
    assert lamp.distribution.at(0) == 200


def test_the_first_of_several_sets_is_taken_and_noted() -> None:
    lamp = read_eulumdat(text(ldt(sets=(ONE_SET, ("2", "LED", "9000", "", "", "90")))))
    assert lamp.source_lumens == 2000
    assert lamp.notes == ("the first of its 2 sets of light sources is taken",)


def test_decimals_may_be_written_with_a_comma() -> None:
    lamp = read_eulumdat(text(ldt(angles="0 22,5 90", intensities="100 50,5 0", factor="1,0")))
    assert lamp.distribution.at(22.5) == pytest.approx(101)


@pytest.mark.parametrize(
    ("area_mm", "shape", "size_cm"),
    [
        (("0", "0"), "point", (0, 0)),
        (("400", "150"), "rectangle", (15, 40)),
        (("400", "0"), "disc", (40, 40)),
    ],
)
def test_the_length_of_the_area_lies_across_plane_0(
    area_mm: tuple[str, str], shape: str, size_cm: tuple[float, float]
) -> None:
    lamp = read_eulumdat(text(ldt(area_mm=area_mm)))
    assert lamp.shape == shape
    assert lamp.size_cm == pytest.approx(size_cm)


def test_tilt_and_more_light_than_stated_are_noted() -> None:
    lamp = read_eulumdat(text(ldt(tilt="15", angles="0 180", intensities="100 100")))
    assert lamp.notes == (
        "the tilt at which it was measured is left out",
        "its intensities add up to 2513 lm, more than the 2000 lm that it states",
    )


WHOLE = ldt(symmetry="2", planes="0 90 180 270", intensities="9 8 7 6 5 4", area_mm=("400", "150"))


@pytest.mark.parametrize(
    ("lines", "part"),
    [
        (["hello", "world"], "it is no EULUMDAT file, or cut short: it has 2 lines, should have 42 before angles"),
        (WHOLE[:45], "it is cut short: it should have 6 angles, and has 3"),
        (WHOLE[:-1], "it is cut short: it should have 6 intensities, and has 5"),
        ([*WHOLE, "7"], "goes on with '7', should be the end"),
        (ldt(symmetry="5"), "line 3 has '5' as the symmetry, should be at least 0 and at most 4"),
        (ldt(symmetry="x"), "line 3 has 'x' as the symmetry, should be a number"),
        (ldt(factor="0"), "line 24 has '0' as the factor of the intensities, should be above 0"),
        (ldt(factor="1e9"), "its intensities, times its factors, reach 2e+11 cd, should be under 1e+09"),
        (ldt(sets=(("1", "LED", "0", "", "", "5"),)), "line 29 has '0' as the lumens of the light sources, should be"),
        (ldt(intensities="100 -1"), "line 47 has '-1' as an intensity, should be at least 0"),
        (ldt(intensities="nan 1"), "line 46 has 'nan' as an intensity, should be a number"),
        (ldt(intensities="0 0"), "its light cannot be used: the lamp shines nowhere"),
        (ldt(area_mm=("200000", "5")), "its luminous area is 200 m long, should be under 100 m"),
        (ldt(angles="0 90 90", intensities="1 1 1"), "its vertical angles should rise, and 90 comes after 90"),
        (ldt(symmetry="2", planes="200 300", intensities=""), "it states no plane up to 180 degrees"),
        (ldt(symmetry="4", planes="0 60", intensities="1 1 1 1"), "its horizontal angles run from 0 to 60, should"),
        (ldt(symmetry="3", planes="100 200", intensities=""), "it states no plane from 270 over 0 to 90 degrees"),
    ],
)
def test_each_defect_is_refused_in_one_sentence(lines: list[str], part: str) -> None:
    assert part in refusal(lines)


@given(st.text())
def test_any_text_is_read_or_refused(content: str) -> None:
    with pytest.raises(InputError):
        read_eulumdat(content)


LINES = st.integers(0, len(WHOLE) - 1)
VALUES = st.sampled_from(["", "0", "-1", "1", "3", "4", "90", "360", "1e9", "1e-300", "nan", "1,5", "9" * 20])


@given(LINES, VALUES | st.floats().map(str), LINES, VALUES)
def test_a_file_with_two_lines_changed_is_read_or_refused(at: int, line: str, other: int, more: str) -> None:
    lines = list(WHOLE)
    lines[at], lines[other] = line, more
    with suppress(InputError):
        lamp = read_eulumdat(text(lines))
        assert 0 < lamp.lumens < np.inf
