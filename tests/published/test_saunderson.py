"""A clear coat over unbound matt paint, by Saunderson's correction."""

from __future__ import annotations

import numpy as np
import pytest

from materials.surface.fresnel import fresnel, internal_hemispherical_fresnel
from materials.surface.saunderson import coated_reflectance
from tests.support.report import absolute, report

SOURCE = "Saunderson 1942, Judd 1942: k1 .04, k2 .596 at n 1.5, normal incidence"


@pytest.mark.parametrize(
    ("bare", "with_surface", "body"), [(0.18, 0.1181, 0.0781), (0.50, 0.3161, 0.2761), (0.90, 0.7928, 0.7528)]
)
def test_a_coat_wets_bare_paint_darker(bare: float, with_surface: float, body: float) -> None:
    surface = float(fresnel(1.0, 1.5))
    got = (1 - surface) * float(coated_reflectance(np.full(351, bare))[0])
    report(f"coat over bare {bare}, its body alone", SOURCE, body, got, absolute(1e-4))
    report(f"coat over bare {bare}, with its surface", SOURCE, with_surface, surface + got, absolute(1e-4))


def test_the_inside_of_a_surface_throws_back_most_of_even_light() -> None:
    report(
        "even light inside n 1.5",
        "Walsh 1926, as in Judd 1942 (memory)",
        0.596,
        internal_hemispherical_fresnel(1.5),
        absolute(5e-4),
    )


def test_white_stays_white_and_black_black() -> None:
    np.testing.assert_allclose(coated_reflectance(np.array([0.0, 1.0])), [0.0, 1.0])
