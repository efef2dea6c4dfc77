"""What roughness widened over a path's footprint does to pictures: less noise, at a small error that vanishes."""

from __future__ import annotations

import numpy as np
import pytest

from render.kernel.paths import footprint
from render.kernel.paths.footprint import WIDENING
from render.kernel.trace import Tracer
from render.kernel.workload import PASS_SAMPLES
from tests.support.kernel.pictures import GROUPS, kernel_pictures
from tests.support.kernel.significance import Estimate, mean_ratio
from tests.support.kernel.summaries import Batches
from tests.support.notes import note
from tests.support.still_life import FINISHES, LAMPS, still_life

pytestmark = pytest.mark.slow
SECTION = "widened roughness, draft over converged: mean, 99.9 % interval; noise of a half"
DRAFT, FINE = (passes * PASS_SAMPLES * GROUPS for passes in (2, 16))
LATE = 2**16
GLOSSY = [name for name in FINISHES if name != "matt"]


@pytest.mark.parametrize("finish", GLOSSY)
def test_a_draft_is_within_three_quarters_of_a_per_cent_and_fine_closer(finish: str) -> None:
    geometry, lamp = still_life(FINISHES[finish], height_px=48, width_px=64), LAMPS["panel"]
    (draft,), (fine,) = (kernel_pictures(geometry, [lamp], samples, widening=WIDENING) for samples in (DRAFT, FINE))
    (converged,) = kernel_pictures(geometry, [lamp], FINE)
    off = [mean_ratio(total(pictures), total(converged)) for pictures in (draft, fine)]
    gain = noise(kernel_pictures(geometry, [lamp], DRAFT)[0]) / noise(draft)
    shown = ", ".join(f"{r.value:.4f} ± {r.half_width:.4f}" for r in off)
    note(SECTION, f"{finish}: draft, fine {shown}; noise {gain:.2f} times less")
    assert abs(off[0].value - 1) + off[0].half_width < 0.0075
    assert abs(off[1].value - 1) + off[1].half_width < 0.003
    assert gain > 1


def test_late_passes_are_not_widened(monkeypatch: pytest.MonkeyPatch) -> None:
    geometry = still_life(FINISHES["near-smooth metal"], height_px=24, width_px=32)
    images = []
    for widening in (WIDENING, 0.0):
        monkeypatch.setattr(footprint, "WIDENING", widening)
        images.append([Tracer(geometry).images([LAMPS["panel"]], number) for number in (0, LATE)])
    (early, late), (unwidened, same) = images
    assert not np.allclose(early, unwidened, rtol=1e-3)
    np.testing.assert_allclose(late, same, rtol=1e-3, atol=1e-3 * same.mean())


def total(pictures: Batches) -> Estimate:
    return Estimate.of(pictures.sum(axis=1).mean(axis=(1, 2)))


def noise(pictures: Batches) -> float:
    """Return the mean over pixels of the variance of a batch, of all bands together, over the squared mean."""
    light = pictures.sum(axis=1)
    squared = np.square(light.mean(axis=0)) + 1e-4 * light.mean() ** 2
    return float((light.var(axis=0, ddof=1) / squared).mean())
