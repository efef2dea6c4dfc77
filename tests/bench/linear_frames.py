"""Our frames before they become 8 bits, in linear light: as traced, and as the product denoises them."""

from __future__ import annotations

import tempfile
import time
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any
from unittest import mock

import numpy as np
from numpy.typing import NDArray

from materials.light.spectra import Spectrum
from render.camera.denoise import denoise
from render.camera.development import develop
from render.camera.exposure import Exposure
from render.description.lit_emitter import lit_emitters
from render.frame import Frame, developed
from render.images import shown_light
from render.images.jobs import take_frames
from render.images.store.store import Store
from render.images.tracing import Tracing
from render.shot import Shot
from render.shot_light import shot_light

from .errors import Picture

CEILING = 1.5
"""Of frame white, of a picture that is denoised as a whole."""


@dataclass(frozen=True, eq=False)
class LinearFrame:
    """A frame in linear light, 1 at the frame's white, and how it was developed."""

    frame: Frame
    raw: Picture
    clean: Picture
    exposure: Exposure
    white_xyz: NDArray[np.float64]
    albedo: Picture
    normal: Picture

    def develop(self, xyz: Picture) -> Picture:
        """Return another picture of the setup, XYZ in cd/m2, developed as this frame was."""
        return develop(xyz, self.exposure, self.white_xyz)

    def denoise(self, linear: Picture) -> Picture:
        """Return another developed picture of the setup denoised, as a whole."""
        return denoise(linear, self.albedo, self.normal, CEILING)

    @property
    def radiance(self) -> tuple[Spectrum, ...]:
        """The radiance of every lamp as dimmed in the frame, (351,) W/(m2 sr nm)."""
        return tuple(light.dimmed_radiance for light in lit_emitters(self.frame.setup, self.frame.shot.room))


@dataclass(frozen=True, eq=False)
class Sheet:
    """The frames of many shots, and the seconds that they took in all; those of denoising are part of them.

    In the seconds: meshes handed to the kernel, compiling, tracing, the light at the hero, features, summing,
    developing, denoising, readings, storing. Not in them: imports and loading the model.
    """

    frames: list[LinearFrame]
    seconds: float
    denoising_seconds: float


def take_linear(shots: Sequence[Shot], passes: int, denoiser: Callable[..., Picture] = denoise) -> Sheet:
    """Return the frames of all shots, taken on an empty store."""
    denoising = _Noted(denoiser)
    with tempfile.TemporaryDirectory() as folder, mock.patch.object(shown_light, "denoise", denoising):
        tracing = Tracing(Store(Path(folder)))
        started = time.perf_counter()
        taken = dict(take_frames(shots, tracing, passes))
        seconds, denoising_seconds = time.perf_counter() - started, denoising.seconds
        frames = [_linear(taken[i], tracing, passes) for i in range(len(shots))]
    if not denoising_seconds:
        raise RuntimeError("nothing was denoised: measure what the product does now")
    return Sheet(frames, seconds, denoising_seconds)


def _linear(frame: Frame, tracing: Tracing, passes: int) -> LinearFrame:
    """Return a frame that was just taken in linear light."""
    light = shot_light(frame.shot, tracing, passes)
    locked, features = light.metered_exposure, light.features
    raw = develop(light.xyz, locked.exposure, locked.white.xyz)
    clean = developed(light, locked)
    return LinearFrame(frame, raw, clean, locked.exposure, locked.white.xyz, features.albedo, features.normal)


class _Noted:
    """A function whose time is kept."""

    def __init__(self, function: Callable[..., Any]) -> None:
        self.function = function
        self.seconds = 0.0

    def __call__(self, *arguments: Any) -> Any:
        started = time.perf_counter()
        result = self.function(*arguments)
        self.seconds += time.perf_counter() - started
        return result
