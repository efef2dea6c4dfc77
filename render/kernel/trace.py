"""One geometry and its lamps, traced in passes: an image in bands for each lamp as if it alone were lit."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

import numpy as np
from numpy.typing import NDArray

from render.bands import BAND_COUNT, band_nodes
from render.description import Geometry, Lamp

from .backend import mitsuba
from .lamps import lamp_dict
from .shapes import bsdf_dict, mesh_shape, sensor_dict

PASS_SAMPLES = 16
MAX_DEPTH = 16
ROULETTE_DEPTH = 2  # a quarter less time for the same error than the usual 5, on the demo sheet


class Tracer:
    """Traces one geometry for any lamps; the meshes are handed to Mitsuba once."""

    def __init__(self, geometry: Geometry) -> None:
        self.geometry = geometry
        mi = mitsuba()
        bsdfs = {s.finish: mi.load_dict(bsdf_dict(s.finish)) for s in geometry.surfaces}
        self._shapes = {f"surface_{i:03d}": mesh_shape(s, bsdfs[s.finish]) for i, s in enumerate(geometry.surfaces)}
        self._sensor = mi.load_dict(sensor_dict(geometry.camera, self._film(), PASS_SAMPLES))
        self._integrator = mi.load_dict({"type": "path", "max_depth": MAX_DEPTH, "rr_depth": ROULETTE_DEPTH})
        self._lit: tuple[str, Any] | None = None

    def images(self, lamps: Sequence[Lamp], number: int) -> NDArray[np.float32]:
        """Return pass `number` of each lamp's image: (lamps, bands, height, width), W/(m2 sr) in each band.

        A lamp's samples depend on the pass alone: any pass can be traced again, or later, in any order.
        """
        return np.stack([self._image(lamp, number) for lamp in lamps])

    def scene(self, lamp: Lamp | None) -> Any:
        """Return the geometry with one lamp lit, or none, as a Mitsuba scene; the last one is kept."""
        key = lamp.fingerprint if lamp is not None else "dark"
        if self._lit is None or self._lit[0] != key:
            emitter = {"lamp": lamp_dict(lamp)} if lamp is not None else {}
            self._lit = key, mitsuba().load_dict({"type": "scene", **self._shapes, **emitter})
        return self._lit[1]

    @property
    def sensor(self) -> Any:
        """The camera as a Mitsuba sensor."""
        return self._sensor

    @property
    def shapes(self) -> Sequence[Any]:
        """The surfaces as Mitsuba shapes, in their order in the geometry."""
        return tuple(self._shapes.values())

    def _image(self, lamp: Lamp, number: int) -> NDArray[np.float32]:
        image = mitsuba().render(
            self.scene(lamp), sensor=self._sensor, integrator=self._integrator, spp=PASS_SAMPLES, seed=number
        )
        return np.ascontiguousarray(np.moveaxis(np.array(image), -1, 0))

    def _film(self) -> dict[str, Any]:
        film: dict[str, Any] = {
            "type": "specfilm",
            "width": self.geometry.camera.width,
            "height": self.geometry.camera.height,
            "component_format": "float32",
            "rfilter": {"type": "box"},
        }
        for band in range(BAND_COUNT):
            wavelengths, values = (",".join(f"{v:.9g}" for v in nodes) for nodes in band_nodes(band))
            film[f"band_{band:02d}"] = {"type": "irregular", "wavelengths": wavelengths, "values": values}
        return film
