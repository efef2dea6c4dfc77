"""Our frames before they become 8 bits: what the product hands its denoiser, and what comes out, in linear light."""

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
from render import frame as frames
from render.camera.denoise import denoise
from render.camera.development import develop
from render.camera.exposure import Exposure
from render.description.lit_emitter import lit_emitters
from render.frame import Frame
from render.images.jobs import take_frames
from render.images.store import Store
from render.images.tracing import Tracing
from render.shot import Shot

from .errors import Picture


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
        """Return another developed picture of the setup denoised as this frame was."""
        return denoise(linear, self.albedo, self.normal)

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
    developing, denoising = _Noted(develop), _Noted(denoiser)
    with (
        tempfile.TemporaryDirectory() as folder,
        mock.patch.object(frames, "develop", developing),
        mock.patch.object(frames, "denoise", denoising),
    ):
        started = time.perf_counter()
        taken = list(take_frames(shots, Tracing(Store(Path(folder))), passes))
        seconds = time.perf_counter() - started
    if not len(taken) == len(developing.calls) == len(denoising.calls):
        raise RuntimeError("a frame is no longer developed and denoised once: measure what the product does now")
    linear: dict[int, LinearFrame] = {}
    for (i, frame), (how, raw), (guided, clean) in zip(taken, developing.calls, denoising.calls, strict=True):
        linear[i] = LinearFrame(frame, raw, clean, *how[1:], *guided[1:])
    return Sheet([linear[i] for i in range(len(shots))], seconds, denoising.seconds)


class _Noted:
    """A function whose arguments, results and time are kept."""

    def __init__(self, function: Callable[..., Any]) -> None:
        self.function = function
        self.calls: list[tuple[tuple[Any, ...], Any]] = []
        self.seconds = 0.0

    def __call__(self, *arguments: Any) -> Any:
        started = time.perf_counter()
        result = self.function(*arguments)
        self.seconds += time.perf_counter() - started
        self.calls.append((arguments, result))
        return result
