"""The stock path tracer over a spectral film, lit by all lamps at once: an independent oracle of the kernel.

It shares nothing with the kernel but the plain data that both are given, the bands and the choice of backend. Its
samples are independent: the stock low-discrepancy sampler draws the choice of a lamp and the place on it from the same
points, which is wrong by some parts in ten thousand.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Any

import numpy as np
from numpy.typing import NDArray

from materials.light.observer import WAVELENGTHS_NM
from materials.light.spectra import Spectrum
from materials.surface.finish import Finish
from render.description.scene import Camera, Geometry, Surface
from render.images.bands import BAND_COUNT, band_nodes
from render.kernel.backend import mitsuba
from scenes.lamps.emitter_shape import EmitterShape

from .oracle_finishes import spectrum_dict, stock_bsdf

BODY_FACE = 0.6
"""Reflectance of a lamp's face as a body: a diffuser, lit or not. Its back is black."""
FLAT: Spectrum = np.ones(WAVELENGTHS_NM.shape)


class Oracle:
    """Renders one geometry under any lamps; the meshes are handed to Mitsuba once.

    `bsdf` makes Mitsuba's of a finish; `plain_bsdf` is quicker where many finishes only have to be much the same.
    """

    def __init__(self, geometry: Geometry, bsdf: Callable[[Finish], Any] = stock_bsdf) -> None:
        mi = mitsuba()
        bsdfs = {s.finish: bsdf(s.finish) for s in geometry.surfaces}
        self._shapes = {f"surface_{i:03d}": mesh_shape(s, bsdfs[s.finish]) for i, s in enumerate(geometry.surfaces)}
        self._sensor = mi.load_dict(sensor_dict(geometry.camera))
        # roulette alone ends a path, from the depth that is usual
        self._integrator = mi.load_dict({"type": "path", "max_depth": -1, "rr_depth": 5})

    def images(
        self,
        lamps: Sequence[EmitterShape],
        samples: int,
        seeds: Sequence[int],
        radiance: Sequence[Spectrum] | None = None,
        *,
        bodies: bool = False,
    ) -> NDArray[np.float64]:
        """Return an image of all lamps lit at once for each seed: (seeds, bands, h, w), W/(m2 sr) in each band.

        Parameters
        ----------
        lamps
            At least one.
        samples
            Of each pixel, for each seed.
        radiance
            Of each lamp, (351,) W/(m2 sr nm); flat and of one unit where it is left out, dark where it is 0 throughout.
        bodies
            Whether lamps stand there as opaque bodies too; without, rays pass through them.
        """
        mi = mitsuba()
        spectra = [FLAT] * len(lamps) if radiance is None else radiance
        lit = {
            f"lamp_{i:02d}": lamp_dict(lamp, spectrum, body=bodies)
            for i, (lamp, spectrum) in enumerate(zip(lamps, spectra, strict=True))
        }
        shapes = {**self._shapes, **{k: v for k, v in lit.items() if v is not None}}
        # merging equal objects leaves lamps in the order of their addresses, with which a seed's picture changes
        scene = mi.load_dict({"type": "scene", **shapes}, optimize=False)
        return np.stack([self._image(scene, samples, seed) for seed in seeds])

    def _image(self, scene: Any, samples: int, seed: int) -> NDArray[np.float64]:
        image = mitsuba().render(scene, sensor=self._sensor, integrator=self._integrator, spp=samples, seed=seed)
        return np.moveaxis(np.array(image, dtype=np.float64), -1, 0)


def mesh_shape(surface: Surface, bsdf: Any) -> Any:
    """Return a surface as a mesh; one without normals keeps its faces flat."""
    mi = mitsuba()
    properties = mi.Properties()
    properties["bsdf"] = bsdf
    properties["face_normals"] = surface.normals is None
    mesh = mi.Mesh(
        surface.name, len(surface.vertices), len(surface.faces),
        has_vertex_normals=surface.normals is not None, props=properties,
    )  # fmt: skip
    values = mi.traverse(mesh)
    values["vertex_positions"] = surface.vertices.ravel()
    values["faces"] = surface.faces.astype(np.uint32).ravel()
    if surface.normals is not None:
        values["vertex_normals"] = surface.normals.ravel()
    values.update()
    return mesh


def sensor_dict(camera: Camera) -> dict[str, Any]:
    """Return a pinhole camera with a film in bands as a dictionary."""
    right, up, into = camera.axes.T
    matrix = np.eye(4)
    matrix[:3, :3] = np.column_stack([-right, up, into])  # mitsuba's x points to the left of the picture
    matrix[:3, 3] = camera.at
    film: dict[str, Any] = {
        "type": "specfilm", "width": camera.width, "height": camera.height,
        "component_format": "float32", "rfilter": {"type": "box"},
    }  # fmt: skip
    for band in range(BAND_COUNT):
        wavelengths, values = (",".join(f"{v:.9g}" for v in nodes) for nodes in band_nodes(band))
        film[f"band_{band:02d}"] = {"type": "irregular", "wavelengths": wavelengths, "values": values}
    return {
        "type": "perspective", "fov": float(np.degrees(2 * np.arctan(camera.tan_half_height))), "fov_axis": "y",
        "near_clip": 1e-3, "far_clip": 1e3, "to_world": mitsuba().ScalarTransform4f(matrix),
        "film": film, "sampler": {"type": "independent"},
    }  # fmt: skip


def lamp_dict(lamp: EmitterShape, radiance: Spectrum = FLAT, *, body: bool = False) -> dict[str, Any] | None:
    """Return a lamp as a dictionary, light only or with its body; None where nothing is left of it."""
    is_lit = bool(radiance.any())
    emission = spectrum_dict(radiance)
    if lamp.kind == "room":
        return {"type": "constant", "radiance": emission} if is_lit else None
    if not (is_lit or body):
        return None
    shape: dict[str, Any] = {"bsdf": _body_bsdf() if body else {"type": "null"}}
    if is_lit:
        shape["emitter"] = {"type": "area", "radiance": emission}
    if lamp.kind == "bulb":
        return {"type": "sphere", "center": lamp.at.tolist(), "radius": lamp.half[0], **shape}
    matrix = np.eye(4)
    matrix[:3, :3] = lamp.axes * [lamp.half[0], lamp.half[1], 1.0]
    matrix[:3, 3] = lamp.at
    kind = "rectangle" if lamp.kind == "panel" else "disk"
    return {"type": kind, "to_world": mitsuba().ScalarTransform4f(matrix), **shape}


def _body_bsdf() -> dict[str, Any]:
    face, back = ({"type": "diffuse", "reflectance": {"type": "uniform", "value": v}} for v in (BODY_FACE, 0.0))
    return {"type": "twosided", "face": face, "back": back}
