"""A model drawn without a lamp: its colours, shaded by its shape alone, from any side."""

from __future__ import annotations

from dataclasses import replace
from typing import Final, NamedTuple

import numpy as np
from numpy.typing import NDArray

from gallery.sheet.layout import PAPER
from materials.arrays import Image, Vector
from materials.colour.srgb import srgb_decode
from materials.surface.finish import Finish
from render.camera.development import encode
from render.description.scene import Camera, Geometry, Surface, part_surface
from render.description.surface_finish import surface_finish
from render.kernel.features import Features
from render.kernel.scene import Scene
from render.kernel.surface_indices import trace_surface_indices
from render.kernel.trace import Tracer
from scenes.geometry import unit
from scenes.subject.part_finishes import PartFinishes
from scenes.subject.subject import Part, Subject
from scenes.units import metres

DISTANCE_SIZES: Final = 6.0
"""Distance of the camera, in diameters of the bounding sphere: near to a parallel projection."""
MARGIN: Final = 1.06
DARKEST: Final = 0.05
"""Reflectance of black, so that the form of a black model shows."""
TO_LIGHT: Final = (-0.35, 0.5, -0.8)
"""Direction of the light along the camera's right, up and forward."""


class Shading(NamedTuple):
    """The share of light that falls evenly from all round, and the brightness of white that faces the light."""

    ambient: float
    gain: float


OWN_COLOURS: Final = Shading(0.3, 1.6)
PART_COLOURS: Final = Shading(0.6, 1.1)
"""Even, so that the colours of parts are told apart in the shade."""


class UnlitModel:
    """A model of which pictures are drawn; its geometry is loaded once, however many.

    In its own colours it is cut out as its pictures say, and clear parts are opaque, to be seen. Without finishes
    it is a shape alone, of which every part is opaque.
    """

    def __init__(self, model: Subject, finishes: PartFinishes | None) -> None:
        self.model = model
        self.surfaces = tuple(_finished(part, finishes) if finishes else part_surface(part) for part in model.parts)
        self._scene: Scene | None = None

    def camera(self, axes: Vector, width: int, height: int, margin: float = MARGIN) -> Camera:
        """Return a camera that frames the model, by its axes (3, 3): columns right, up and forward."""
        low, high = metres(self.model.bounds_cm)
        distance = DISTANCE_SIZES * float(np.linalg.norm(high - low))
        at = (low + high) / 2 - distance * axes[:, 2]
        across, up, ahead = np.abs((metres(self._outermost()) - at) @ axes).T
        tangent = margin * max(float((up / ahead).max()), float((across / ahead).max()) * height / width)
        return Camera(at, axes, tangent, width, height)

    def draw(self, camera: Camera, colours: Image | None = None, ground: Image | None = None) -> NDArray[np.uint8]:
        """Return the model as a picture, (height, width, 3) of sRGB bytes.

        `colours` (height, width, 3), linear sRGB, stand in for its own; `ground` is the picture behind it, else paper.
        """
        features = self._tracer(camera).features
        albedo = features.albedo if colours is None else colours * features.subject[..., None]
        shaded = shaded_colours(albedo, features, camera, OWN_COLOURS if colours is None else PART_COLOURS)
        behind = paper(camera) if ground is None else ground
        return encode((shaded + behind * (1 - features.subject[..., None])).astype(np.float32))

    def part_indices(self, camera: Camera) -> NDArray[np.int32]:
        """Return the index of the part that each pixel of a camera shows, (height, width); -1 where none."""
        return trace_surface_indices(self._tracer(camera).scene, camera)

    def _tracer(self, camera: Camera) -> Tracer:
        tracer = Tracer(Geometry(self.surfaces, camera), self._scene)
        self._scene = tracer.scene
        return tracer

    def _outermost(self) -> Vector:
        """Return points of the model that frame it, (n, 3), cm."""
        return np.concatenate([self.model.tips_cm, self.model.surface_points(2000)])


def shaded_colours(albedo: Image, features: Features, camera: Camera, shading: Shading) -> Image:
    """Return linear sRGB (height, width, 3) of albedo lit from beside the camera; either side of a triangle is lit."""
    cosine = np.abs(features.normal @ (camera.axes @ unit(TO_LIGHT)).astype(np.float32))[..., None]
    coverage = features.subject[..., None]
    lit = shading.ambient * coverage + (1 - shading.ambient) * cosine
    return np.asarray(
        np.minimum(shading.gain * (DARKEST * coverage + (1 - DARKEST) * albedo) * lit, coverage), np.float32
    )


def paper(camera: Camera) -> Image:
    """Return the paper of a page behind a picture, linear sRGB (height, width, 3)."""
    colour = srgb_decode(np.array(PAPER) / 255)
    return np.broadcast_to(colour, (camera.height, camera.width, 3)).astype(np.float32)


def axes_from(side: Vector) -> Vector:
    """Return the axes (3, 3), columns right, up and forward, of a level camera on a side of what it sees."""
    forward = -unit(side)
    right = unit(np.cross(forward, [0.0, 0.0, 1.0]))
    return np.column_stack([right, np.cross(right, forward), forward])


def pixels_of(points_cm: Vector, camera: Camera) -> Vector:
    """Return where a camera sees points (n, 3), as (n, 2) pixels to the right and down."""
    across, up, ahead = ((metres(points_cm) - camera.at) @ camera.axes).T
    scale = camera.height / (2 * camera.tan_half_height)
    return np.column_stack([camera.width / 2 + scale * across / ahead, camera.height / 2 - scale * up / ahead])


def _finished(part: Part, finishes: PartFinishes) -> Surface:
    """Return a part with its colours and cut-outs, without its shine."""
    found = surface_finish(part, finishes)
    matt = replace(found, finish=Finish.board(found.finish.base))
    return replace(part_surface(part), **vars(matt))
