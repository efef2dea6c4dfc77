"""The plain way: what an able person would write for the same pictures with Mitsuba alone.

A scene of stock shapes and finishes for every setup, all its lamps lit at once at their own levels and spectra, the
`path` integrator, independent samples, one render to a colour film, no denoiser. Nothing of it comes from the kernel,
so that the two ways also check each other.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

import numpy as np
from numpy.typing import NDArray

from materials.light.observer import MAX_LUMINOUS_EFFICACY
from materials.light.spectra import Spectrum
from render.description.scene import Camera, Geometry
from render.kernel.backend import mitsuba
from scenes.lamps.emitter_shape import EmitterShape
from tests.support.kernel.oracle import lamp_dict, mesh_shape, sensor_dict
from tests.support.kernel.oracle_finishes import stock_bsdf

MAX_DEPTH = 8
CALL_SAMPLES = 2**26
"""Of all pixels in one call of a long render: some seconds, and far from 2^32, beyond which memory runs out."""


class PlainScene:
    """One geometry under lamps of the given radiance, (351,) W/(m2 sr nm) each."""

    def __init__(self, geometry: Geometry, lamps: Sequence[EmitterShape], radiance: Sequence[Spectrum]) -> None:
        mi = mitsuba()
        bsdfs = {surface.finish: stock_bsdf(surface.finish) for surface in geometry.surfaces}
        objects = {f"surface_{i}": mesh_shape(s, bsdfs[s.finish]) for i, s in enumerate(geometry.surfaces)}
        lit = [lamp_dict(lamp, spectrum) for lamp, spectrum in zip(lamps, radiance, strict=True)]
        objects |= {f"lamp_{i}": lamp for i, lamp in enumerate(lit) if lamp is not None}
        self._scene = mi.load_dict({"type": "scene", **objects})
        self._sensor = mi.load_dict(_sensor(geometry.camera))
        self._integrator = mi.load_dict({"type": "path", "max_depth": MAX_DEPTH})
        self._pixels = geometry.camera.width * geometry.camera.height

    def xyz(self, samples: int, seed: int) -> NDArray[np.float32]:
        """Return the picture at `samples` a pixel, (height, width, 3) XYZ, Y in cd/m2."""
        mi = mitsuba()
        image = mi.render(self._scene, sensor=self._sensor, integrator=self._integrator, spp=samples, seed=seed)
        return np.array(image, dtype=np.float32) * np.float32(MAX_LUMINOUS_EFFICACY / mi.MI_CIE_Y_NORMALIZATION)

    def long_xyz(self, samples: int) -> NDArray[np.float32]:
        """Return (2, height, width, 3), two independent renders of half the samples each.

        They are made in calls of a few seconds with the small seeds 1, 2, 3, ..., taken in turns.
        """
        each = max(1, min(samples // 2, CALL_SAMPLES // self._pixels))
        calls = -(-samples // (2 * each))
        halves = [sum(self.xyz(each, 2 * call + half).astype(np.float64) for call in range(calls)) for half in (1, 2)]
        return np.asarray(np.stack(halves) / calls, dtype=np.float32)


def _sensor(camera: Camera) -> dict[str, Any]:
    film = {
        "type": "hdrfilm", "width": camera.width, "height": camera.height, "pixel_format": "xyz",
        "component_format": "float32", "rfilter": {"type": "box"},
    }  # fmt: skip
    return {**sensor_dict(camera), "film": film, "sampler": {"type": "independent"}}
