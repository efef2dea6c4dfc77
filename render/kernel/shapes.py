"""Geometry as Mitsuba objects."""

from __future__ import annotations

from typing import Any

import numpy as np

from materials.cie import WAVELENGTHS_NM
from materials.finishes import Finish
from materials.spectra import Spectrum
from render.description import Camera, Surface

from .backend import mitsuba


def spectrum_dict(values: Spectrum) -> dict[str, Any]:
    """Return a spectrum of (351,) values as a dictionary, held flat for the half step beyond its ends."""
    if not values.any():
        return {"type": "uniform", "value": 0.0}  # a sampled spectrum without any is refused
    padded = np.concatenate([values[:1], values, values[-1:]])
    return {
        "type": "regular",
        "wavelength_min": float(WAVELENGTHS_NM[0] - 1),
        "wavelength_max": float(WAVELENGTHS_NM[-1] + 1),
        "values": ",".join(f"{v:.7g}" for v in padded),
    }


def bsdf_dict(finish: Finish) -> dict[str, Any]:
    """Return a finish as a dictionary, the same from both sides."""
    body = spectrum_dict(finish.body)
    if finish.kind == "matt":
        inner: dict[str, Any] = {"type": "diffuse", "reflectance": body}
    elif finish.kind == "metal":
        inner = {
            "type": "roughconductor", "material": "none", "distribution": "ggx",
            "alpha": max(finish.roughness, 1e-3), "specular_reflectance": body,
        }  # fmt: skip
    else:
        inner = {
            "type": "roughplastic", "distribution": "ggx", "alpha": max(finish.roughness, 1e-3),
            "int_ior": finish.index, "ext_ior": 1.0, "nonlinear": False, "diffuse_reflectance": body,
        }  # fmt: skip
    return {"type": "twosided", "inner": inner}


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


def sensor_dict(camera: Camera, film: dict[str, Any], samples: int) -> dict[str, Any]:
    """Return a pinhole camera as a dictionary."""
    right, up, into = camera.axes.T
    matrix = np.eye(4)
    matrix[:3, :3] = np.column_stack([-right, up, into])  # mitsuba's x points to the left of the picture
    matrix[:3, 3] = camera.at
    return {
        "type": "perspective",
        "fov": float(np.degrees(2 * np.arctan(camera.tan_half_height))),
        "fov_axis": "y",
        "near_clip": 1e-3,
        "far_clip": 1e3,
        "to_world": mitsuba().ScalarTransform4f(matrix),
        "film": film,
        "sampler": {"type": "ldsampler", "sample_count": samples},
    }
