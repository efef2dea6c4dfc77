"""Kernels made wrong on purpose: what each of them breaks, and that the tests of mean and of noise would show it."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import numpy as np
import pytest

from render.kernel.backend import mitsuba
from render.kernel.emitters import planar
from render.kernel.paths import integrator
from render.kernel.paths.mis import bsdf_sampling_weight
from scenes.lamps.emitter_shape import EmitterShape
from tests.support.kernel.agreement import compare
from tests.support.kernel.cases import cases
from tests.support.kernel.pictures import kernel_pictures
from tests.support.kernel.references import Oracles
from tests.support.kernel.significance import Estimate, Ratio, mean_of, mean_ratio
from tests.support.light import bulb
from tests.support.notes import note
from tests.support.still_life import FINISHES, LAMPS, still_life

SMALL_BULB = bulb((0.12, -0.06, 0.25), 0.01)
SECTION = "noise of light found one way only, over that of the kernel, 99.9 % intervals"
Patch = Callable[[Any, Any], Any]


def emitters_sampled_alone(monkeypatch: pytest.MonkeyPatch) -> None:
    """Find light by samples of the emitters and not by what a path hits."""
    _weigh(monkeypatch, emitter=lambda *_: 1.0, bsdf=lambda *_: 0.0)


def bsdfs_sampled_alone(monkeypatch: pytest.MonkeyPatch) -> None:
    """Find light by what a path hits and not by samples of the emitters."""
    _weigh(monkeypatch, emitter=lambda *_: 0.0, bsdf=lambda *_: 1.0)


@pytest.mark.slow
@pytest.mark.parametrize(
    ("finish", "lamp", "one_way"),
    [("near-smooth metal", LAMPS["panel"], emitters_sampled_alone), ("matt", SMALL_BULB, bsdfs_sampled_alone)],
    ids=["a mirror under a panel", "matt under a small bulb"],
)
def test_two_ways_to_find_light_are_less_noisy_than_the_one_that_is_poor(
    finish: str, lamp: EmitterShape, one_way: Callable[[pytest.MonkeyPatch], None], monkeypatch: pytest.MonkeyPatch
) -> None:
    """A kernel that had only this way would have its noise: the ratio would be 1."""
    both = _noise(finish, lamp)
    one_way(monkeypatch)
    alone = _noise(finish, lamp)
    found = mean_of(np.log2(alone / both) / 2)  # tails are long: a geometric mean, of standard deviations
    words = one_way.__name__.replace("_", " ")
    note(SECTION, f"{words}, {finish}: 2 to the power of {found.value:.1f} ± {found.half_width:.1f}")
    assert found.value - found.half_width > 1.0


@pytest.mark.slow
def test_light_found_by_samples_of_emitters_alone_has_the_right_mean(monkeypatch: pytest.MonkeyPatch) -> None:
    """So that nothing but its noise shows that one of the two ways is gone."""
    geometry = still_life(FINISHES["satin plastic"])
    (both,) = kernel_pictures(geometry, [LAMPS["panel"]], 1024)
    emitters_sampled_alone(monkeypatch)
    (alone,) = kernel_pictures(geometry, [LAMPS["panel"]], 1024)
    found = mean_ratio(Estimate.of(alone.mean(axis=(1, 2, 3))), Estimate.of(both.mean(axis=(1, 2, 3))))
    assert found.half_width < 0.001
    assert found.contains(1.0)


@pytest.mark.slow
def test_a_lamp_whose_back_shines_differs_from_the_oracle(monkeypatch: pytest.MonkeyPatch, oracle: Oracles) -> None:
    monkeypatch.setattr(planar, "is_front", lambda cosine: cosine != 0.0)
    assert _off_by("back in frame, for a lamp whose back shines", oracle).value > 1.1


@pytest.mark.slow
def test_a_lamp_counted_twice_where_the_camera_sees_it_differs_from_the_oracle(
    monkeypatch: pytest.MonkeyPatch, oracle: Oracles
) -> None:
    def twice(bsdf_pdf: Any, emitter_pdf: Any) -> Any:
        import drjit as dr

        return bsdf_sampling_weight(bsdf_pdf, emitter_pdf) * dr.select(bsdf_pdf == dr.inf, 2.0, 1.0)

    monkeypatch.setattr(integrator, "bsdf_sampling_weight", twice)
    assert _off_by("face in frame, for a lamp counted twice", oracle).value > 1.1


def _off_by(name: str, oracle: Oracles) -> Ratio:
    """Return the ratio of the means of a wrong kernel and the oracle, which has to show it."""
    case = cases()[name]
    (wrong,) = kernel_pictures(case.geometry, case.lamps)
    found = compare(wrong, oracle(name))
    assert any("ratio of the means" in fault for fault in found.faults)
    return found.ratio


def _noise(finish: str, lamp: EmitterShape) -> Any:
    """Return each batch's mean squared deviation from their mean, in units of that squared."""
    (batches,) = kernel_pictures(still_life(FINISHES[finish], height_px=48, width_px=64), [lamp])
    pictures = batches.sum(axis=1)
    return (((pictures - pictures.mean(axis=0)) / pictures.mean()) ** 2).mean(axis=(1, 2))


def _weigh(monkeypatch: pytest.MonkeyPatch, *, emitter: Patch, bsdf: Patch) -> None:
    monkeypatch.setattr(integrator, "emitter_sampling_weight", lambda a, b: mitsuba().Float(emitter(a, b)))
    monkeypatch.setattr(integrator, "bsdf_sampling_weight", lambda a, b: mitsuba().Float(bsdf(a, b)))
