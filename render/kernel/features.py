"""What the camera sees before any light: which surface, its colour, its normal, how far."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from materials.colours import linear_srgb_under_d65
from materials.finishes import Finish

from .backend import mitsuba
from .trace import Tracer

FEATURE_SAMPLES = 16
FAR_M = 1e3
Image = NDArray[np.float32]


@dataclass(frozen=True, eq=False)
class Features:
    """Means over each pixel: albedo and normal (h, w, 3), depth in m (h, w), and the share each kind takes."""

    albedo: Image
    normal: Image
    depth: Image
    subject: Image
    backdrop: Image


def see(tracer: Tracer) -> Features:
    """Return the features of a tracer's geometry."""
    import drjit as dr

    mi = mitsuba()
    scene = tracer.scene(None)
    camera, surfaces = tracer.geometry.camera, tracer.geometry.surfaces
    pixels = camera.width * camera.height
    sampler = mi.load_dict({"type": "ldsampler", "sample_count": FEATURE_SAMPLES})
    sampler.seed(0, pixels * FEATURE_SAMPLES)
    pixel = dr.arange(mi.UInt32, pixels * FEATURE_SAMPLES) // FEATURE_SAMPLES
    corner = mi.Point2f(mi.Float(pixel % camera.width), mi.Float(pixel // camera.width))
    position = (corner + sampler.next_2d()) / mi.ScalarVector2f(camera.width, camera.height)
    ray, _ = tracer.sensor.sample_ray(0, sampler.next_1d(), position, mi.Point2f(0.5))
    hit = scene.ray_intersect(ray)

    index: Any = dr.reinterpret_array(mi.UInt32, hit.shape)  # 0 where there is none
    table = np.zeros((1 + max(map(_number, tracer.shapes), default=0), 5))
    for surface, shape in zip(surfaces, tracer.shapes, strict=True):
        table[_number(shape)] = [*_rgb(surface.finish), surface.kind == "subject", surface.kind == "backdrop"]

    seen = hit.is_valid()
    values = [dr.gather(mi.Float, mi.Float(np.ascontiguousarray(column)), index) for column in table.T]
    values += [dr.select(seen, n, 0.0) for n in hit.sh_frame.n] + [dr.select(seen, hit.t, FAR_M)]
    totals = [dr.zeros(mi.Float, pixels) for _ in values]
    for total, value in zip(totals, values, strict=True):
        dr.scatter_add(total, value, pixel)
    dr.eval(totals)  # in one go, or every one would trace the rays again
    shape = (camera.height, camera.width)
    means = [np.array(total, dtype=np.float32).reshape(shape) / np.float32(FEATURE_SAMPLES) for total in totals]
    return Features(
        albedo=np.stack(means[0:3], axis=-1),
        normal=np.stack(means[5:8], axis=-1),
        depth=means[8],
        subject=means[3],
        backdrop=means[4],
    )


def _number(shape: Any) -> int:
    import drjit as dr

    mi = mitsuba()
    return int(np.array(dr.reinterpret_array(mi.UInt32, mi.ShapePtr(shape)))[0])


def _rgb(finish: Finish) -> NDArray[np.float64]:
    return np.clip(linear_srgb_under_d65(finish.base), 0.0, 1.0)
