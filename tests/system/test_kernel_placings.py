"""The kernel against the stock path tracer where lamps stand in awkward places, and what the comparison would miss."""

from __future__ import annotations

import numpy as np
import pytest
from scipy.ndimage import binary_erosion

from materials.arrays import Mask
from render.camera.lamp_bodies import body_in_sight
from render.images.bands import RANGE_NM
from render.kernel.features import Features
from render.kernel.trace import Tracer
from scenes.lamps.emitter_shape import EmitterShape
from tests.support.agreement import Batches, agreement, check
from tests.support.light import panel
from tests.support.sides import kernel_side, oracle_side, subject_mask
from tests.support.still_life import BACK_IN_FRAME, BEHIND, FINISHES, IN_FRAME, OVERHEAD, card_box, still_life

FINISH = FINISHES["satin plastic"]
AWKWARD = {
    "straight overhead": OVERHEAD,
    "behind the subject": BEHIND,
    "in frame, its face seen": IN_FRAME,
    "in frame, its back seen": BACK_IN_FRAME,
}
NOISY = {"behind the subject": 1536, "in frame, its face seen": 1536, "in frame, its back seen": 2048}
IN_THE_BOX = panel((0.05, 0.04, 0.20), (-0.05, -0.04, -0.20), 0.08, 0.06)


@pytest.fixture(scope="module")
def kernel() -> dict[str, Batches]:
    pictures = kernel_side(still_life(FINISH), list(AWKWARD.values()), 1024)
    return dict(zip(AWKWARD, pictures, strict=True))


@pytest.fixture(scope="module")
def features() -> Features:
    return Tracer(still_life(FINISH)).features


@pytest.mark.parametrize("place", AWKWARD)
def test_the_kernel_is_right_where_a_lamp_stands_awkwardly(kernel: dict[str, Batches], place: str) -> None:
    oracle = oracle_side(still_life(FINISH), [AWKWARD[place]], NOISY.get(place, 512), case=30 + [*AWKWARD].index(place))
    check(f"panel {place}, satin plastic", kernel[place], oracle, subject_mask())


def test_the_kernel_is_right_inside_a_nearly_closed_box_of_white_cards() -> None:
    """Light goes round in it many times: what a limit to the depth would cut off, or a wrong roulette lose."""
    geometry = still_life(FINISH, *card_box())
    (traced,) = kernel_side(geometry, [IN_THE_BOX], 1024)
    oracle = oracle_side(geometry, [IN_THE_BOX], 1024, case=40)
    check("panel in a box of white cards, satin plastic", traced, oracle, subject_mask())


def test_the_kernel_is_right_where_only_backdrop_takes_fewer_samples() -> None:
    geometry = still_life(FINISH, under="backdrop")
    (traced,) = kernel_side(geometry, [OVERHEAD], 2048)
    check(
        "panel overhead, fewer samples of backdrop", traced, oracle_side(geometry, [OVERHEAD], case=42), subject_mask()
    )


def test_the_face_of_a_lamp_in_frame_has_its_own_radiance(kernel: dict[str, Batches], features: Features) -> None:
    seen, lit = _inside(IN_FRAME, features)
    assert lit.sum() > 500
    assert np.array_equal(seen, lit)
    radiance = kernel["in frame, its face seen"].sum(axis=1)[:, lit]
    own = RANGE_NM[1] - RANGE_NM[0]
    # it is light and no body: the little that stands behind it and is lit shows through
    assert (1 - 1e-5) * own < radiance.min() < (1 + 1e-4) * own
    assert radiance.mean() < 1.1 * own


def test_the_back_of_a_lamp_in_frame_shows_what_stands_behind_it(
    kernel: dict[str, Batches], features: Features
) -> None:
    seen, lit = _inside(BACK_IN_FRAME, features)
    assert seen.sum() > 500
    assert not lit.any()
    brightest = kernel["in frame, its back seen"].mean(axis=0).sum(axis=0)[seen].max()
    assert 0 < brightest < 0.5 * (RANGE_NM[1] - RANGE_NM[0])


def test_the_comparison_would_show_errors_of_some_thousandths(kernel: dict[str, Batches]) -> None:
    """Of all light, of the light of the subject, of a band, and of some per cent in one place."""
    mask = subject_mask()
    right = oracle_side(still_life(FINISH), [OVERHEAD], case=41)
    ours = kernel["straight overhead"]
    assert not agreement(ours, right, mask).faults
    assert not agreement(1.003 * ours, right, mask).ratio.contains(1.0)
    assert not agreement(np.where(mask, 1.02, 1.0) * ours, right, mask).subject.contains(1.0)
    one_band = np.where(np.arange(12) == 5, 1.012, 1.0)[:, None, None]
    assert not agreement(one_band * ours, right, mask).bands.agrees
    one_place = np.ones(mask.shape)
    one_place[40:56, 40:56] = 1.15
    assert not agreement(one_place * ours, right, mask).tiles.agrees


def _inside(lamp: EmitterShape, features: Features) -> tuple[Mask, Mask]:
    camera = still_life(FINISH).camera
    seen, lit = body_in_sight(lamp, camera, features.depth)
    return binary_erosion(seen, iterations=2), binary_erosion(lit, iterations=2)
