"""One frame: a placed setup, traced or remembered, lit by its lamps, exposed, measured."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from materials.light.spectra import Spectrum, xyz
from render.camera.denoise import denoised
from render.camera.exposure import Exposure, develop, encode, expose
from render.camera.lamp_bodies import body_in_sight, camera_rays
from render.camera.locked_exposure import LockedExposure, White, balance
from render.camera.visibility import parts_in_sight
from render.description.lit_emitter import LitEmitter, lit_emitters
from render.description.scene import Geometry, Meter
from render.images.lamp_images import LitLamp, lamp_xyz, scene_xyz
from render.images.tracing import Tracing
from render.readings.dimming import dimmed
from render.readings.metering import Readings
from scenes.arrangement.arrangement import CameraModel
from scenes.lamps.emitter_shape import EmitterShape
from scenes.setups.placed import PlacedSetup
from scenes.units import metres

from .readings import highlights as shine
from .readings import metering

if TYPE_CHECKING:
    from render.kernel.features import Features


@dataclass(frozen=True, eq=False)
class Shot:
    """A frame to be taken.

    `room` is the radiance of its light, (351,) W/(m2 sr nm), None in the dark; `texture_of` says which parts are looked
    at closely, with wildcards, else all.
    """

    setup: PlacedSetup
    finish: str
    geometry: Geometry
    camera: CameraModel
    room: Spectrum | None
    texture_of: str | None = None

    @cached_property
    def lights(self) -> tuple[LitEmitter, ...]:
        """What shines: the lamps of the setup, then the room where it gives light."""
        return lit_emitters(self.setup, self.room)

    @property
    def emitters(self) -> tuple[EmitterShape, ...]:
        """What shines, of unit radiance."""
        return tuple(light.shape for light in self.lights)

    @cached_property
    def hero(self) -> Meter:
        """The meter held before the hero."""
        return metering.hero_meter(self.setup)


@dataclass(frozen=True, eq=False)
class Frame:
    """A frame taken: 8-bit sRGB (height, width, 3), what the camera was set to, what was measured."""

    shot: Shot
    setup: PlacedSetup
    rgb: NDArray[np.uint8]
    exposure: Exposure
    white_balance_kelvin: float | None
    readings: Readings


@dataclass(frozen=True, eq=False)
class ShotLight:
    """The light of a shot, before any camera makes a picture of it.

    `total` is (height, width, 3) XYZ in cd/m2; `direct` and `bounced` what each lamp gives the hero, lx, as dimmed.
    """

    shot: Shot
    setup: PlacedSetup
    features: Features
    total: NDArray[np.float32]
    bodies: NDArray[np.bool_]
    direct: NDArray[np.float64]
    bounced: NDArray[np.float64]
    white: White

    @property
    def metered(self) -> LockedExposure:
        """The exposure and the white balance that the shot takes by itself."""
        share = np.where(self.bodies, 0.0, self.features.subject).astype(np.float32)
        return LockedExposure(expose(self.shot.camera, self.total[..., 1], share), self.white)

    @property
    def subject(self) -> NDArray[np.bool_]:
        """Where the subject takes more than half of a pixel."""
        return np.asarray((self.features.subject > 0.5) & ~self.bodies)

    @property
    def sheet(self) -> NDArray[np.bool_]:
        """Where there is only the backdrop."""
        return np.asarray((self.features.backdrop > 0.99) & ~self.bodies)


def take(shot: Shot, tracing: Tracing, passes: int, locked: LockedExposure | None = None) -> Frame:
    """Return the frame of a shot; renders only what the store lacks of its lamp images.

    Without a `locked` exposure it takes its own.
    """
    lit = light(shot, tracing, passes)
    locked = locked or lit.metered
    linear = develop(lit.total, locked.exposure, locked.white.xyz)
    shown = denoised(linear, lit.features.albedo, lit.features.normal)
    return Frame(
        shot, lit.setup, encode(shown), locked.exposure, locked.white.kelvin, _read(lit, shown, locked.exposure)
    )


def light(shot: Shot, tracing: Tracing, passes: int) -> ShotLight:
    """Return the light of a shot, its dimmers solved."""
    features = tracing.features(shot.geometry)
    setup, full_lux = solved(shot, tracing)
    lights = lit_emitters(setup, shot.room)
    images = [tracing.image(shot.geometry, light.shape, passes) for light in lights]
    shown = [lamp_xyz(LitLamp(image, light.dimmed_radiance)) for image, light in zip(images, lights, strict=True)]
    bodies = _mask_bodies(shot, features, shown, lights)
    subject = (features.subject > 0.5) & ~bodies
    weights = [float(image[subject, 1].sum()) for image in shown]
    white = balance(shot.camera, [light.radiance for light in lights], weights)
    direct, bounced = (full_lux * np.array([light.dimmer for light in lights])[:, None]).T
    return ShotLight(shot, setup, features, scene_xyz(shown), bodies, direct, bounced, white)


def _read(lit: ShotLight, shown: NDArray[np.float32], exposure: Exposure) -> Readings:
    """Return the readings of a frame, `shown` as linear sRGB without its noise."""
    shot, subject = lit.shot, lit.subject
    relative = shown @ shine.LUMINANCE
    luminance = relative * exposure.saturation_cd_m2
    whole = (lit.features.subject > 0.99) & ~lit.bodies
    over = shine.stops_over_body(luminance, lit.features.albedo, whole)
    lux = float((lit.direct + lit.bounced).sum())
    return Readings(
        subject_lux=lux,
        key_to_fill_stops=metering.key_to_fill(lit.direct, lit.bounced, bool(lit.setup.cards)),
        backdrop_stops=metering.backdrop_stops(lit.total[..., 1], subject, lit.sheet & _risen(shot, lit.features)),
        clipped_percent=metering.clipped_percent(shown, subject),
        crushed_percent=metering.crushed_percent(luminance, subject),
        edge_stops=metering.edge_stops(luminance, subject, lit.sheet),
        room_stops=metering.room_stops(lux, _room_lux(shot, lit.direct + lit.bounced)),
        highlight_percent=shine.highlight_percent(over),
        highlight_peak_stops=shine.highlight_peak_stops(over),
        texture_contrast_stops=shine.texture_contrast_stops(relative, whole & _looked_at(lit)),
    )


def solved(shot: Shot, tracing: Tracing) -> tuple[PlacedSetup, NDArray[np.float64]]:
    """Return the setup with its dimmers solved, and `hero_lux` of each emitter undimmed, (emitters, 2)."""
    full_lux = hero_lux(shot, tracing).mean(axis=1)
    return dimmed(shot.setup, full_lux.sum(axis=1)), full_lux


def hero_lux(shot: Shot, tracing: Tracing) -> NDArray[np.float64]:
    """Return what the meter at the hero reads of each emitter undimmed, (emitters, batches, 2), lx.

    The last axis is what comes straight, and what comes by way of other surfaces.
    """
    hero = tracing.irradiance(shot.geometry, shot.emitters, (shot.hero,))[:, :, :, 0]
    return np.array([metering.lux(read, light.radiance) for read, light in zip(hero, shot.lights, strict=True)])


def _room_lux(shot: Shot, lux: NDArray[np.float64]) -> float:
    return float(sum(own for own, light in zip(lux, shot.lights, strict=True) if light.lamp is None))


def _mask_bodies(
    shot: Shot, features: Features, images: Sequence[NDArray[np.float32]], lights: Sequence[LitEmitter]
) -> NDArray[np.bool_]:
    """Put the lamp bodies that the camera sees into each lamp's light, in place, and return where they are.

    A body hides what was traced through it and the lamps behind it; its lit face shows its own radiance and nothing
    else.
    """
    covered = np.zeros(features.depth.shape, bool)
    camera = shot.geometry.camera
    bodies = [(image, light) for image, light in zip(images, lights, strict=True) if light.lamp is not None]
    for own, light in sorted(bodies, key=lambda body: -float(np.linalg.norm(body[1].shape.at - camera.at))):
        body, shown = body_in_sight(light.shape, camera, features.depth)
        covered |= body
        for image in images:
            image[body] = 0.0
        own[body] = shown[body][:, None] * xyz(light.dimmed_radiance)
    return covered


def _risen(shot: Shot, features: Features) -> NDArray[np.bool_]:
    """Return where what is seen lies beyond the table, where the sheet has begun to rise."""
    sweep, camera = shot.setup.sweep, shot.geometry.camera
    if sweep is None:
        return np.zeros(features.depth.shape, bool)
    away: NDArray[np.float64] = camera.at[1] + camera_rays(camera)[..., 1] * features.depth
    return away > float(metres(sweep.wall_cm - sweep.radius_cm))


def _looked_at(lit: ShotLight) -> NDArray[np.bool_]:
    """Return where the parts are seen whose texture is read: everywhere, unless the shot names some."""
    subject, pattern = lit.setup.subject, lit.shot.texture_of
    if subject is None or pattern is None:
        return np.ones(lit.bodies.shape, bool)
    parts = replace(subject, parts=subject.matching(pattern))
    return parts_in_sight(parts, lit.shot.geometry.camera, lit.features.depth)
