"""One frame: a placed setup, traced or remembered, lit by its lamps, exposed, measured."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from materials.light.spectra import Spectrum, blackbody, xyz
from render.camera.denoise import denoised
from render.camera.exposure import Exposure, develop, encode, expose
from render.camera.lamp_bodies import body_in_sight, camera_rays
from render.camera.locked_exposure import Held, White, balance
from render.camera.visibility import parts_in_sight
from render.description.scene import ROOM, Geometry, Lamp, Meter, describe_lamp
from render.images.lamp_images import LitLamp, lamp_xyz, scene_xyz
from render.images.tracing import Tracing
from render.readings.dimming import dimmed
from render.readings.metering import Readings
from scenes.arrangement.arrangement import CameraModel, RoomModel
from scenes.lamps.emitter import light_of
from scenes.setups.placed import PlacedSetup
from scenes.units import metres

from .readings import highlights as shine
from .readings import metering

if TYPE_CHECKING:
    from render.kernel.features import Features


@dataclass(frozen=True, eq=False)
class Shot:
    """A frame to be taken; `texture_of` says which parts are looked at closely, with wildcards, else all."""

    setup: PlacedSetup
    finish: str
    geometry: Geometry
    camera: CameraModel
    room: RoomModel
    texture_of: str | None = None

    @cached_property
    def lamps(self) -> tuple[Lamp, ...]:
        """The lamps of the setup, then the room where it gives light."""
        room = (ROOM,) if self.room.lux > 0 else ()
        return (*map(describe_lamp, self.setup.lamps), *room)

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
class Lit:
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
    def wanted(self) -> Held:
        """The exposure and the white balance that the shot would take by itself."""
        metered = np.where(self.bodies, 0.0, self.features.subject).astype(np.float32)
        return Held(expose(self.shot.camera, self.total[..., 1], metered), self.white)

    @property
    def subject(self) -> NDArray[np.bool_]:
        """Where the subject takes more than half of a pixel."""
        return np.asarray((self.features.subject > 0.5) & ~self.bodies)

    @property
    def sheet(self) -> NDArray[np.bool_]:
        """Where there is only the backdrop."""
        return np.asarray((self.features.backdrop > 0.99) & ~self.bodies)


def take(shot: Shot, tracing: Tracing, passes: int, held: Held | None = None) -> Frame:
    """Return the frame of a shot; renders only what the store lacks of its lamp images.

    With `held` it is exposed and balanced by that, else as suits it.
    """
    lit = light(shot, tracing, passes)
    held = held or lit.wanted
    linear = develop(lit.total, held.exposure, held.white.xyz)
    shown = denoised(linear, lit.features.albedo, lit.features.normal)
    return Frame(shot, lit.setup, encode(shown), held.exposure, held.white.kelvin, _read(lit, shown, held.exposure))


def light(shot: Shot, tracing: Tracing, passes: int) -> Lit:
    """Return the light of a shot, its dimmers solved."""
    features = tracing.features(shot.geometry)
    full = [full_radiance(shot, i) for i in range(len(shot.lamps))]
    setup, hero = solved(shot, tracing)
    dimmers = [lamp.dimmer for lamp in setup.lamps] + [1.0] * (len(shot.lamps) - len(setup.lamps))
    radiance = [spectrum * dimmer for spectrum, dimmer in zip(full, dimmers, strict=True)]
    images = [tracing.image(shot.geometry, lamp, passes) for lamp in shot.lamps]
    lights = [lamp_xyz(LitLamp(image, spectrum)) for image, spectrum in zip(images, radiance, strict=True)]
    bodies = _mask_bodies(shot, features, lights, radiance)
    subject = (features.subject > 0.5) & ~bodies
    white = balance(shot.camera, full, [float(image[subject, 1].sum()) for image in lights])
    direct, bounced = (hero * np.array(dimmers)[:, None]).T
    return Lit(shot, setup, features, scene_xyz(lights), bodies, direct, bounced, white)


def _read(lit: Lit, shown: NDArray[np.float32], exposure: Exposure) -> Readings:
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
    """Return the setup with its dimmers solved, and `hero_lux` of each lamp undimmed, (lamps, 2)."""
    full_lux = hero_lux(shot, tracing).mean(axis=1)
    return dimmed(shot.setup, tuple(full_lux.sum(axis=1)[: len(shot.setup.lamps)])), full_lux


def hero_lux(shot: Shot, tracing: Tracing) -> NDArray[np.float64]:
    """Return what the meter at the hero reads of each lamp undimmed, (lamps, batches, 2): straight and bounced, lx."""
    hero = tracing.irradiance(shot.geometry, shot.lamps, (shot.hero,))[:, :, :, 0]
    return np.array([metering.lux(light, full_radiance(shot, i)) for i, light in enumerate(hero)])


def full_radiance(shot: Shot, i: int) -> Spectrum:
    """Return the radiance of a lamp undimmed, or of the room, (351,) W/(m2 sr nm)."""
    lamp = shot.lamps[i]
    if lamp.kind == "room":
        return blackbody(shot.room.kelvin) * shot.room.lux / lamp.etendue
    light = light_of(shot.setup.lamps[i].lamp)
    return light.spectrum * light.lumens / lamp.etendue


def _room_lux(shot: Shot, lux: NDArray[np.float64]) -> float:
    return float(lux[-1]) if shot.lamps[-1].kind == "room" else 0.0


def _mask_bodies(
    shot: Shot, features: Features, light: Sequence[NDArray[np.float32]], radiance: Sequence[Spectrum]
) -> NDArray[np.bool_]:
    """Put the lamp bodies that the camera sees into each lamp's light, in place, and return where they are.

    A body hides what was traced through it and the lamps behind it; its lit face shows its own radiance and nothing
    else.
    """
    covered = np.zeros(features.depth.shape, bool)
    camera = shot.geometry.camera
    bodies = [(own, lamp) for own, lamp in enumerate(shot.lamps) if lamp.kind != "room"]
    for own, lamp in sorted(bodies, key=lambda body: -float(np.linalg.norm(body[1].at - camera.at))):
        body, shown = body_in_sight(lamp, camera, features.depth)
        covered |= body
        for image in light:
            image[body] = 0.0
        light[own][body] = shown[body][:, None] * xyz(radiance[own])
    return covered


def _risen(shot: Shot, features: Features) -> NDArray[np.bool_]:
    """Return where what is seen lies beyond the table, where the sheet has begun to rise."""
    sweep, camera = shot.setup.sweep, shot.geometry.camera
    if sweep is None:
        return np.zeros(features.depth.shape, bool)
    away: NDArray[np.float64] = camera.at[1] + camera_rays(camera)[..., 1] * features.depth
    return away > float(metres(sweep.wall_cm - sweep.radius_cm))


def _looked_at(lit: Lit) -> NDArray[np.bool_]:
    """Return where the parts are seen whose texture is read: everywhere, unless the shot names some."""
    subject, pattern = lit.setup.subject, lit.shot.texture_of
    if subject is None or pattern is None:
        return np.ones(lit.bodies.shape, bool)
    parts = replace(subject, parts=subject.matching(pattern))
    return parts_in_sight(parts, lit.shot.geometry.camera, lit.features.depth)
