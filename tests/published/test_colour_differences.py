"""CIEDE2000 against the published test pairs and the reference library."""

from __future__ import annotations

import colour
import numpy as np
import pytest

from materials.colour.difference import ciede2000
from materials.colour.light_change import light_change
from materials.light.illuminants import illuminant, tabulated_spectra
from materials.light.observer import COLOUR_MATCHING, D65_XYZ
from materials.light.spectra import blackbody
from tests.support.report import absolute, report

PAIRS = (  # memory
    ((50, 2.6772, -79.7751), (50, 0, -82.7485), 2.0425),
    ((50, 0, 0), (50, -1, 2), 2.3669),
    ((50, 2.49, -0.001), (50, -2.49, 0.0009), 7.1792),
    ((50, 2.49, -0.001), (50, -2.49, 0.0011), 7.2195),
    ((50, 2.5, 0), (73, 25, -18), 27.1492),
    ((60.2574, -34.0099, 36.2677), (60.4626, -34.1751, 39.4387), 1.2644),
    ((2.0776, 0.0795, -1.135), (0.9033, -0.0636, -0.5514), 0.9082),
)


@pytest.mark.parametrize(("lab", "other", "difference"), PAIRS)
def test_pairs_are_as_far_apart_as_published(
    lab: tuple[float, float, float], other: tuple[float, float, float], difference: float
) -> None:
    source = "Sharma, Wu and Dalal 2005 (memory)"
    report(f"{lab} to {other}, CIEDE2000", source, difference, float(ciede2000(lab, other)), absolute(5e-5))


def test_any_colours_are_as_far_apart_as_in_the_reference_library() -> None:
    rng = np.random.default_rng(3)
    labs, others = rng.uniform((0, -100, -100), (100, 100, 100), (2, 2000, 3))
    worst = np.abs(ciede2000(labs, others) - colour.delta_E(labs, others, method="CIE 2000")).max()
    report("2000 pairs of colours, worst", "CIEDE2000, in colour-science", 0, float(worst), absolute(1e-9))


@pytest.mark.parametrize("name", ["LED-B1", "FL2"])
def test_another_light_changes_the_test_colours_as_in_the_reference_library(name: str) -> None:
    reflectances = np.array([*tabulated_spectra("test_colours.csv").values()])
    labs = []
    for light in (blackbody(2733), illuminant(name)):
        seen = (reflectances * light) @ COLOUR_MATCHING.T / (COLOUR_MATCHING[1] @ light)
        white = COLOUR_MATCHING @ light / (COLOUR_MATCHING[1] @ light)
        adapted = colour.chromatic_adaptation(seen, white, D65_XYZ, method="Von Kries", transform="Bradford")
        labs.append(colour.XYZ_to_Lab(adapted, colour.XYZ_to_xy(D65_XYZ)))
    expected = colour.delta_E(*labs, method="CIE 2000")
    got, source = light_change(blackbody(2733), illuminant(name)), "Bradford and CIEDE2000, in colour-science"
    report(f"blackbody to {name}, mean CIEDE2000", source, float(expected.mean()), got.mean, absolute(1e-6))
    report(f"blackbody to {name}, worst CIEDE2000", source, float(expected.max()), got.worst, absolute(1e-6))
