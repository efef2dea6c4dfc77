"""GGX microfacets: their normalisation, and their limits."""

from __future__ import annotations

import numpy as np
import pytest

from materials.surface.microfacets import ggx_distribution, smith_g1


@pytest.mark.parametrize("alpha", [0.05, 0.3, 1.0])
def test_projected_microfacets_cover_the_surface_once(alpha: float) -> None:
    """The integral of D cos over the hemisphere is 1 (Walter and others 2007, equation 4)."""
    nodes, weights = np.polynomial.legendre.leggauss(400)
    slope = np.tan(np.pi / 4 * (nodes + 1))  # tan of the polar angle, dense where it is small
    cosine = 1 / np.sqrt(1 + slope**2)
    normal = np.stack([slope * cosine, np.zeros_like(slope), cosine], axis=-1)
    polar = np.pi / 4 * weights
    sine = slope * cosine
    covered = 2 * np.pi * float((polar * sine * cosine) @ ggx_distribution(normal, alpha))
    assert covered == pytest.approx(1, rel=1e-6)


def test_every_microfacet_is_visible_from_above_and_none_from_the_horizon_or_below() -> None:
    np.testing.assert_array_equal(smith_g1([1.0, 0.0, -0.5], 0.3), [1.0, 0.0, 0.0])


def test_rougher_surfaces_mask_more() -> None:
    masked = [float(smith_g1(0.2, alpha)) for alpha in (0.01, 0.1, 0.5, 1.0)]
    assert masked == sorted(masked, reverse=True)
    assert masked[0] > 0.99
    assert masked[-1] == pytest.approx(2 / (1 + 5), rel=1e-12)  # 1 + tan2 is 1 / 0.2^2
