"""A shot: a placed setup with its geometry and camera."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

from materials.light.spectra import Spectrum
from render.description.lit_emitter import LitEmitter, lit_emitters
from render.description.scene import Geometry, Meter
from render.readings.receptors import bare_geometry, receptors_of
from scenes.arrangement.arrangement import CameraModel
from scenes.fingerprint import fingerprint
from scenes.lamps.emitter_shape import EmitterShape
from scenes.setups.placed import PlacedSetup


@dataclass(frozen=True, eq=False)
class Shot:
    """What a frame is taken of.

    Parameters
    ----------
    room : (351,)
        Radiance of the room, W/(m2 sr nm); None for a dark room.
    texture_of
        Wildcard of the parts whose texture contrast is measured; None for all.
    """

    setup: PlacedSetup
    finish: str
    geometry: Geometry
    camera: CameraModel
    room: Spectrum | None
    texture_of: str | None = None

    @cached_property
    def lit_emitters(self) -> tuple[LitEmitter, ...]:
        """The emitters of the setup's lamps, then the room's, if it gives light."""
        return lit_emitters(self.setup, self.room)

    @cached_property
    def fingerprint(self) -> str:
        """A hash of everything that its frame depends on, but for the quality."""
        setup = self.setup
        lights = tuple((light.shape.fingerprint, light.radiance, light.dimmer) for light in self.lit_emitters)
        solved = tuple((lamp.role, lamp.stops_under_key, lamp.sheet_over_white) for lamp in setup.lamps)
        metered = (setup.hero_cm, setup.meter, setup.exposure_stops, self.camera.model_dump_json())
        return fingerprint((self.geometry.fingerprint, lights, solved, metered, self.texture_of))

    @property
    def emitter_shapes(self) -> tuple[EmitterShape, ...]:
        """The shapes of `lit_emitters`, of unit radiance."""
        return tuple(emitter.shape for emitter in self.lit_emitters)

    @cached_property
    def bare_geometry(self) -> Geometry:
        """The sheet and the cards alone, which the receptors are measured on."""
        return bare_geometry(self.geometry)

    @cached_property
    def receptors(self) -> tuple[Meter, ...]:
        """The meters at the hero: one facing each lamp, then one facing the camera."""
        return receptors_of(self.setup)
