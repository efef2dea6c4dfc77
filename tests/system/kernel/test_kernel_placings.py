"""The kernel against the stock path tracer where lamps stand in awkward places, and what the comparison would miss."""

from __future__ import annotations

import numpy as np
import pytest
from scipy.ndimage import binary_erosion

from materials.arrays import Mask
from render.camera.lamp_bodies import visible_body
from render.images.bands import RANGE_NM
from render.kernel.features import Features
from render.kernel.trace import Tracer
from scenes.lamps.emitter_shape import EmitterShape
from tests.support.kernel.agreement import check, compare
from tests.support.kernel.cases import AWKWARD, SATIN, cases
from tests.support.kernel.pictures import kernel_pictures
from tests.support.kernel.references import Oracles, live
from tests.support.kernel.summaries import Batches
from tests.support.still_life import BACK_IN_FRAME, IN_FRAME, still_life

pytestmark = pytest.mark.slow


@pytest.fixture(scope="module")
def kernel() -> dict[str, Batches]:
    pictures = kernel_pictures(still_life(SATIN), list(AWKWARD.values()), 1024)
    return dict(zip(AWKWARD, pictures, strict=True))


@pytest.fixture(scope="module")
def features() -> Features:
    return Tracer(still_life(SATIN)).features


@pytest.mark.parametrize("place", AWKWARD)
def test_the_kernel_is_right_where_a_lamp_stands_awkwardly(
    kernel: dict[str, Batches], place: str, oracle: Oracles
) -> None:
    check(place, kernel[place], oracle(place))


def test_the_kernel_is_right_inside_a_nearly_closed_box_of_white_cards(oracle: Oracles) -> None:
    """Light goes round in it many times: what a limit to the depth would cut off, or a wrong roulette lose."""
    _check_alone("panel in a box of white cards", 1024, oracle)


def test_the_kernel_is_right_where_only_backdrop_takes_fewer_samples(oracle: Oracles) -> None:
    _check_alone("panel overhead, fewer samples of backdrop", 2048, oracle)


def test_the_face_of_a_lamp_in_frame_has_its_own_radiance(kernel: dict[str, Batches], features: Features) -> None:
    seen, lit = _inside(IN_FRAME, features)
    assert lit.sum() > 500
    assert np.array_equal(seen, lit)
    radiance = kernel["panel in frame, its face seen"].sum(axis=1)[:, lit]
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
    brightest = kernel["panel in frame, its back seen"].mean(axis=0).sum(axis=0)[seen].max()
    assert 0 < brightest < 0.5 * (RANGE_NM[1] - RANGE_NM[0])


def test_the_comparison_would_show_errors_of_some_thousandths(kernel: dict[str, Batches]) -> None:
    """Of all light, of the light of the subject, of a band, and of some per cent in one place."""
    right, ours = live("panel straight overhead, for errors made on purpose"), kernel["panel straight overhead"]
    check("panel straight overhead, to be made wrong", ours, right)
    assert not compare(1.003 * ours, right).ratio.contains(1.0)
    assert not compare(np.where(right.subject, 1.02, 1.0) * ours, right).subject.contains(1.0)
    one_band = np.where(np.arange(12) == 5, 1.012, 1.0)[:, None, None]
    assert not compare(one_band * ours, right).bands.agrees
    one_place = np.ones(right.subject.shape)
    one_place[40:56, 40:56] = 1.15
    assert not compare(one_place * ours, right).tiles.agrees


def _check_alone(name: str, samples: int, oracle: Oracles) -> None:
    case = cases()[name]
    (traced,) = kernel_pictures(case.geometry, case.lamps, samples)
    check(name, traced, oracle(name))


def _inside(lamp: EmitterShape, features: Features) -> tuple[Mask, Mask]:
    camera = still_life(SATIN).camera
    seen, lit = visible_body(lamp, camera, features.depth)
    return binary_erosion(seen, iterations=2), binary_erosion(lit, iterations=2)
