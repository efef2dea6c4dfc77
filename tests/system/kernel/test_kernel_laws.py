"""What a lamp's samples depend on, and that the sum of lamps and their dimmers are exact."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
import pytest

from materials.light.spectra import Spectrum, blackbody
from render.images.lamp_images import LitLamp, lamp_xyz, scene_xyz
from render.images.passes.pass_sums import PassSums
from render.kernel.trace import Tracer
from scenes.lamps.emitter_shape import EmitterShape
from tests.support.light import lamp_image
from tests.support.still_life import BEHIND, FINISHES, LAMPS, OVERHEAD, still_life

LIT = [*LAMPS.values()]
RADIANCE = [blackbody(kelvin) * level for kelvin, level in ((4000, 1.0), (2700, 0.3), (6500, 0.7), (5000, 0.01))]
COMPANY: dict[str, list[EmitterShape]] = {
    "another panel": [OVERHEAD],
    "one of each kind": LIT,
    "many": [OVERHEAD, BEHIND, *LIT, BEHIND, *LIT],
}


def new_tracer() -> Tracer:
    return Tracer(still_life(FINISHES["satin plastic"], height_px=24, width_px=32))


@pytest.fixture(scope="module")
def tracer() -> Tracer:
    return new_tracer()


def lit(tracer: Tracer, lamps: Sequence[EmitterShape], radiance: Sequence[Spectrum]) -> list[LitLamp]:
    """Return three passes of lamps traced together, with the radiance that they are given."""
    passes = [tracer.images(lamps, number) for number in range(3)]
    images = [lamp_image(*by_pass) for by_pass in zip(*passes, strict=True)]
    return [LitLamp(image, spectrum) for image, spectrum in zip(images, radiance, strict=True)]


def test_a_pass_is_the_same_bits_in_a_new_tracer_and_after_other_passes(tracer: Tracer) -> None:
    first = tracer.images(LIT, 5, 2)
    other = new_tracer()
    other.images(LIT, 4, 2)
    other.images(LIT[:1], 0, 1)
    assert all(image.any() for image in first)
    assert np.array_equal(first, other.images(LIT, 5, 2))
    assert np.array_equal(first, tracer.images(LIT, 5, 2))


@pytest.mark.slow
@pytest.mark.parametrize("company", COMPANY.values(), ids=COMPANY)
def test_a_lamps_image_is_the_same_bits_whichever_lamps_are_traced_with_it(
    tracer: Tracer, company: list[EmitterShape]
) -> None:
    for lamp in LIT:
        alone = tracer.images([lamp], 3, 1)[0]
        together = tracer.images([lamp, *company, lamp], 3, 1)
        assert np.array_equal(alone, together[0])
        assert np.array_equal(alone, together[-1])


def test_no_two_passes_and_no_two_groups_are_the_same(tracer: Tracer) -> None:
    kept = {tracer.images(LIT, number, group).tobytes() for group in range(4) for number in range(8)}
    assert len(kept) == 4 * 8


def test_a_pass_is_in_group_0_where_none_is_named(tracer: Tracer) -> None:
    assert np.array_equal(tracer.images(LIT, 1), tracer.images(LIT, 1, 0))


def test_lamps_traced_together_give_the_light_of_lamps_traced_one_at_a_time(tracer: Tracer) -> None:
    together = [lamp_xyz(lamp) for lamp in lit(tracer, LIT, RADIANCE)]
    apart = [lamp_xyz(lit(tracer, [lamp], [e])[0]) for lamp, e in zip(LIT, RADIANCE, strict=True)]
    assert np.array_equal(scene_xyz(together), scene_xyz(apart))
    assert np.array_equal(scene_xyz(apart), sum(apart[1:], apart[0]))


def test_the_light_of_lamps_is_what_the_sum_of_their_images_gives(tracer: Tracer) -> None:
    lamps = lit(tracer, LIT, [blackbody(4000)] * len(LIT))
    even, odd = (np.sum([getattr(lamp.image, half) for lamp in lamps], axis=0) for half in ("even", "odd"))
    summed = PassSums(even, odd, 2, 1)
    of_sum = lamp_xyz(LitLamp(summed, blackbody(4000)))
    # both orders of the same sum round in single precision
    assert np.abs(scene_xyz([lamp_xyz(lamp) for lamp in lamps]) - of_sum).max() < 1e-6 * of_sum.max()


def test_half_the_dimmer_is_half_the_light_exactly(tracer: Tracer) -> None:
    lamps = lit(tracer, LIT, RADIANCE)
    full = scene_xyz([lamp_xyz(lamp) for lamp in lamps])
    half = scene_xyz([lamp_xyz(LitLamp(lamp.image, 0.5 * lamp.radiance)) for lamp in lamps])
    assert full.any()
    assert np.array_equal(half, 0.5 * full)
