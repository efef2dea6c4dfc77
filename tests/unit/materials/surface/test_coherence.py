"""The mirror image of rough surfaces at grazing angles: what holds at any roughness."""

from __future__ import annotations

import numpy as np
from hypothesis import given
from hypothesis import strategies as st

from materials.surface.coherence import COHERENCE, coherent_fraction, scattered_fraction

UNIT = st.floats(0, 1)


def test_the_heights_of_a_matt_surface_are_about_a_wavelength_and_a_half() -> None:
    """Of 5 GU, alpha .188: sigma = sqrt(K alpha) lambda / (4 pi), as profilometers find on matt coats (memory)."""
    sigma_um = np.sqrt(COHERENCE * 0.188) * 0.555 / (4 * np.pi)
    assert 0.5 < sigma_um < 1.5


@given(UNIT, UNIT)
def test_nothing_is_lost_in_the_mirror_direction(cosine: float, roughness: float) -> None:
    both = coherent_fraction(cosine, roughness) + scattered_fraction(cosine, cosine, roughness)
    np.testing.assert_allclose(both, 1.0, atol=1e-9)


@given(UNIT, UNIT, UNIT)
def test_the_parts_between_two_directions_are_reciprocal_and_never_more_than_all(
    a: float, b: float, roughness: float
) -> None:
    there, again = scattered_fraction(a, b, roughness), scattered_fraction(b, a, roughness)
    assert there == again
    assert there + np.sqrt(coherent_fraction(a, roughness) * coherent_fraction(b, roughness)) <= 1 + 1e-9


@given(st.floats(0.01, 0.99), st.floats(0.01, 0.9))
def test_it_fades_away_from_grazing_and_with_roughness(cosine: float, roughness: float) -> None:
    fraction = coherent_fraction(cosine, roughness)
    assert coherent_fraction(cosine + 0.01, roughness) <= fraction
    assert coherent_fraction(cosine, roughness + 0.1) <= fraction
    assert coherent_fraction(0.0, roughness) == 1.0
