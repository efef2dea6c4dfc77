"""What the pictures of a sheet are held against: further passes of the kernel, or long renders of the plain way."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from render.description.scene import Geometry
from render.images.lamp_images import LampImage, LitLamp, lamp_xyz, scene_xyz
from render.kernel.trace import Tracer
from render.shot import Shot
from scenes.lamps.emitter_shape import EmitterShape
from tests.support.light import lamp_image

from .errors import Picture, Truth
from .linear_frames import LinearFrame

PASSES = 8
GROUP = 15
"""A group that no frame here uses: even and odd passes of a group are independent of each other and of all others."""


@dataclass(frozen=True, eq=False)
class Reference:
    """Two independent renders of a setup, (2, height, width, 3) XYZ in cd/m2, and a frame to divide by.

    The frame is denoised and knows nothing of the renders: dividing by their own noise would raise every error.
    """

    xyz: NDArray[np.float32]
    guide: LinearFrame

    def developed_as(self, linear: LinearFrame) -> Truth:
        """Return the truth that a frame, or a picture developed as it was, is held against."""
        first, second = map(linear.develop, self.xyz)
        brighter = self.guide.exposure.white_cd_m2 / linear.exposure.white_cd_m2
        return Truth((first, second), self.guide.clean * np.float32(brighter))


def kernel_references(fine: Sequence[LinearFrame]) -> list[Reference]:
    """Return two halves of further passes of every frame's setup.

    The lamps of all setups of one geometry are traced together: that their noise is alike does not touch a mean.
    """
    references: dict[int, Reference] = {}
    for geometry, own in by_geometry([linear.frame.shot for linear in fine]):
        tracer = Tracer(geometry)
        lamps = lamps_of([fine[i].frame.shot for i in own])
        sums = {i: np.zeros((2, *fine[i].raw.shape), np.float32) for i in own}
        for number in range(PASSES):
            images = tracer.images(list(lamps.values()), number, group=GROUP)
            by_lamp = dict(zip(lamps, map(lamp_image, images), strict=True))
            for i in own:
                sums[i][number % 2] += _light(fine[i], by_lamp) / np.float32(PASSES // 2)
        references |= {i: Reference(sums[i], fine[i]) for i in own}
    return [references[i] for i in range(len(fine))]


def stored_references(fine: Sequence[LinearFrame], folder: Path) -> list[Reference]:
    """Return what `tests.bench.references` made of the same setups."""
    references = []
    for linear in fine:
        with np.load(folder / f"{linear.frame.setup.name}.npz") as stored:
            if str(stored["geometry"]) != linear.frame.shot.geometry.fingerprint:
                raise RuntimeError(f"{folder} shows another geometry than the demo has today: make it anew")
            references.append(Reference(stored["xyz"], linear))
    return references


def by_geometry(shots: Sequence[Shot]) -> list[tuple[Geometry, list[int]]]:
    """Return every geometry with the indices of its shots."""
    groups: dict[str, list[int]] = {}
    for i, shot in enumerate(shots):
        groups.setdefault(shot.geometry.fingerprint, []).append(i)
    return [(shots[own[0]].geometry, own) for own in groups.values()]


def lamps_of(shots: Sequence[Shot]) -> dict[str, EmitterShape]:
    """Return the lamps of all shots, each once, by fingerprint."""
    return {lamp.fingerprint: lamp for shot in shots for lamp in shot.emitter_shapes}


def _light(linear: LinearFrame, by_lamp: Mapping[str, LampImage]) -> Picture:
    pairs = zip(linear.frame.shot.emitter_shapes, linear.radiance, strict=True)
    return scene_xyz([lamp_xyz(LitLamp(by_lamp[lamp.fingerprint], radiance)) for lamp, radiance in pairs])
