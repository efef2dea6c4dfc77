"""A frame's light, measured on named zones of the subject, undenoised and in cd/m2."""

from __future__ import annotations

from functools import cached_property

import numpy as np
from scipy.ndimage import binary_erosion

from materials.arrays import Image, Mask
from render.description.lit_emitter import lit_emitters
from render.frame import Frame
from render.images.lamp_images import LitLamp, lamp_xyz, scene_xyz
from render.images.tracing import Tracing
from scenes.units import stops

OUTLINE_PX = 2
VISIBLE_WITHIN_M = 0.002


class Measured:
    """Luminance of a frame and where its zones are."""

    def __init__(self, frame: Frame, tracing: Tracing, passes: int) -> None:
        shot = frame.shot
        self.frame = frame
        self.readings = frame.readings
        self.features = tracing.features(shot.geometry)
        lit = [
            LitLamp(tracing.image(shot.geometry, light.shape, passes), light.dimmed_radiance)
            for light in lit_emitters(frame.setup, shot.room)
        ]
        self.luminance: Image = scene_xyz([lamp_xyz(lamp) for lamp in lit])[..., 1]
        self.subject: Mask = self.features.subject > 0.99

    def mean(self, zone: Mask) -> float:
        """Return the mean luminance of a zone."""
        assert zone.any()
        return float(self.luminance[zone].mean())

    def percentile(self, share: float, zone: Mask | None = None) -> float:
        """Return a percentile of the luminance of a zone, or of the subject."""
        return float(np.percentile(self.luminance[self.subject if zone is None else zone], share))

    def relative_stops(self, zone: Mask) -> float:
        """Return the mean of a zone over the mean of the subject, stops."""
        return stops(self.mean(zone) / self.mean(self.subject))

    def parts(self, pattern: str, side: int = 0) -> Mask:
        """Return the pixels where the parts that match are seen; side -1 their camera-left half, +1 the right."""
        subject, view, camera = self.frame.setup.subject, self.frame.setup.view, self.frame.shot.geometry.camera
        assert subject is not None
        points = np.concatenate([part.vertices_cm for part in subject.matching(pattern)]).astype(float)
        middle = (points[:, 0].min() + points[:, 0].max()) / 2
        points = points[side * (points[:, 0] - middle) >= 0]
        x, y, _ = view.project(points).T
        column = np.clip(((x + 1) / 2 * camera.width).astype(int), 0, camera.width - 1)
        row = np.clip(((1 - y) / 2 * camera.height).astype(int), 0, camera.height - 1)
        distance = np.linalg.norm(points / 100 - camera.at, axis=1)
        seen = np.abs(distance - self.features.depth[row, column]) < VISIBLE_WITHIN_M
        mask = np.zeros(self.subject.shape, bool)
        mask[row[seen], column[seen]] = True
        return np.asarray(mask & self.subject)

    @cached_property
    def interior(self) -> Mask:
        """The subject without its outline."""
        return np.asarray(binary_erosion(self.subject, iterations=3 * OUTLINE_PX))

    @cached_property
    def outline(self) -> Mask:
        """The subject's outermost pixels."""
        return np.asarray(self.subject & ~binary_erosion(self.subject, iterations=OUTLINE_PX))

    def left_over_right_stops(self, pattern: str) -> float:
        """Return the camera-left half over the camera-right half of the parts that match, stops."""
        return stops(self.mean(self.parts(pattern, -1)) / self.mean(self.parts(pattern, 1)))
