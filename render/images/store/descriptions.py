"""Which setups need a lamp and a geometry: what entries of the store are described by."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from render.description.scene import Geometry
from scenes.lamps.emitter_shape import EmitterShape

from .entries import Description

if TYPE_CHECKING:
    from render.shot import Shot


class Descriptions:
    """Descriptions of the results that shots need."""

    def __init__(self) -> None:
        self._setups: dict[tuple[str, EmitterShape | None], dict[str, None]] = {}

    def add(self, shots: Sequence[Shot]) -> None:
        """Note the setups of shots, by their geometries and lamps."""
        for shot in shots:
            for geometry in (shot.geometry, shot.bare_geometry):
                for lamp in (None, *shot.emitter_shapes):
                    self._setups.setdefault((geometry.fingerprint, lamp), {})[shot.setup.name] = None

    def of(self, geometry: Geometry, lamp: EmitterShape | None = None, passes: int | None = None) -> Description:
        """Return what an image of a geometry is for, by one lamp or whatever the light."""
        setups = tuple(self._setups.get((geometry.fingerprint, lamp), ()))
        return Description(setups, (geometry.camera.width, geometry.camera.height), passes)
