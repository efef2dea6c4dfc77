"""Denoised frames of every setup are nearer to the truth than raw ones."""

from __future__ import annotations

import numpy as np
import pytest

from gallery.frames.shots import shots_of
from gallery.inputs import open_input
from materials.arrays import Image
from render.camera.development import develop
from render.frame import developed
from render.images.jobs import take_frames
from render.images.lamp_images import LitLamp, lamp_xyz, scene_xyz
from render.images.store.store import Store
from render.images.tracing import Tracing
from render.shot_light import ShotLight, shot_light
from tests.support.light import lamp_image
from tests.support.notes import note

SIZE = (90, 120)
OTHER_GROUP = 15
"""That no lamp of a sheet is in: its noise is independent of theirs."""
OTHER_PASSES = 4
"""Of each half."""
FLOOR = 1e-4
"""Added to the square that errors are relative to: pixels under 1 % of white count by their absolute error."""


SETUPS = {2: (), 18: ("rim", "low-key")}
"""By passes: the whole sheet, and those with most highlights far beyond white."""


@pytest.mark.slow
@pytest.mark.parametrize("passes", SETUPS)
def test_no_setup_is_worse_denoised_than_raw(passes: int) -> None:
    """Of pictures x and y and an independent r, the mean of (x - r)^2 - (y - r)^2 is that of the squared errors.

    It is relative to another r: the brightness of either picture would favour it.
    """
    tracing, worse = Tracing(Store()), []
    shots = shots_of(open_input(None, {}), SETUPS[passes], (), SIZE)
    for i, frame in take_frames(shots, tracing, passes):
        light = shot_light(shots[i], tracing, passes)
        halves = [shown(light, traced_anew(light, tracing, half)) for half in (0, 1)]
        raw, clean = shown(light, light.xyz), developed(light, light.metered_exposure).clip(0, 1)
        nearer = float(np.mean([less_error(clean, raw, *pair) for pair in (halves, halves[::-1])]))
        note(
            "denoised frames", f"{passes} passes, {frame.setup.name}: by {1e4 * nearer:.1f} x 1e-4 nearer to the truth"
        )
        if nearer < 0:
            worse.append(frame.setup.name)
    assert not worse


def traced_anew(light: ShotLight, tracing: Tracing, half: int) -> Image:
    """Return the XYZ of a shot by other paths."""
    geometry, emitters = light.shot.geometry, light.hero.emitters
    shapes = [emitter.shape for emitter in emitters]
    planes = tracing._tracer_of(geometry).planes(shapes, half, OTHER_GROUP, OTHER_PASSES) / np.float32(OTHER_PASSES)
    images = [lamp_image(image) for image in planes]
    return scene_xyz(
        [lamp_xyz(LitLamp(image, emitter.dimmed_radiance)) for image, emitter in zip(images, emitters, strict=True)]
    )


def shown(light: ShotLight, xyz: Image) -> Image:
    """Return a picture of a shot as its frame shows it: clipped, with the frame's own lamp bodies."""
    locked = light.metered_exposure
    xyz = np.where(light.lamp_bodies[..., None], light.xyz, xyz)
    return np.clip(develop(xyz, locked.exposure, locked.white.xyz), 0, 1)


def less_error(better: Image, worse: Image, reference: Image, scale: Image) -> float:
    """Return by how much the mean relative squared error of a picture is less than that of another."""
    difference = (worse - better) * (worse + better - 2 * reference)
    return float((difference / (scale**2 + FLOOR)).mean())
