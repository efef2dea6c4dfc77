"""One frame: a placed setup, traced or remembered, lit by its lamps, exposed, measured."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from materials.spectra import Spectrum, blackbody, cct_duv, luminous, xyz
from scenes.arrangement import CameraModel, RoomModel
from scenes.light import light_of
from scenes.placing import PlacedSetup
from scenes.units import metres

from . import metering
from .bodies import body_in_sight, camera_rays
from .camera import Exposure, develop, encode, expose
from .denoise import denoised
from .description import ROOM, Geometry, Lamp, Meter, describe_lamp
from .dimming import dimmed
from .lamp_images import LitLamp, lamp_xyz, scene_xyz
from .metering import Readings
from .tracing import Tracing

if TYPE_CHECKING:
    from .kernel.features import Features


@dataclass(frozen=True, eq=False)
class Shot:
    """A frame to be taken."""

    setup: PlacedSetup
    finish: str
    geometry: Geometry
    camera: CameraModel
    room: RoomModel

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


def take(shot: Shot, tracing: Tracing, passes: int) -> Frame:
    """Return the frame of a shot; renders only what the store lacks of its lamp images."""
    features = tracing.features(shot.geometry)
    full = [full_radiance(shot, i) for i in range(len(shot.lamps))]
    setup, hero = solved(shot, tracing)
    direct, bounced = hero.T
    dimmers = [lamp.dimmer for lamp in setup.lamps] + [1.0] * (len(shot.lamps) - len(setup.lamps))
    radiance = [spectrum * dimmer for spectrum, dimmer in zip(full, dimmers, strict=True)]
    images = [tracing.image(shot.geometry, lamp, passes) for lamp in shot.lamps]
    light = [lamp_xyz(LitLamp(image, spectrum)) for image, spectrum in zip(images, radiance, strict=True)]
    bodies = _mask_bodies(shot, features, light, radiance)
    total = scene_xyz(light)
    subject = (features.subject > 0.5) & ~bodies
    sheet = (features.backdrop > 0.99) & ~bodies
    backdrop = sheet & _risen(shot, features)

    white, kelvin = _white(shot.camera, full, [float(image[subject, 1].sum()) for image in light])
    exposure = expose(shot.camera, total[..., 1], np.where(bodies, 0.0, features.subject).astype(np.float32))
    shown = denoised(develop(total, exposure, white), features.albedo, features.normal)
    luminance = (shown @ np.array([0.2126, 0.7152, 0.0722], np.float32)) * exposure.saturation_cd_m2
    level = np.array(dimmers)
    readings = Readings(
        subject_lux=float(level @ (direct + bounced)),
        key_to_fill_stops=metering.key_to_fill(level * direct, level * bounced, bool(setup.cards)),
        backdrop_stops=metering.backdrop_stops(total[..., 1], subject, backdrop),
        clipped_percent=metering.clipped_percent(shown, subject),
        crushed_percent=metering.crushed_percent(luminance, subject),
        edge_stops=metering.edge_stops(luminance, subject, sheet),
        room_stops=metering.room_stops(float(level @ (direct + bounced)), _room_lux(shot, direct + bounced)),
    )
    return Frame(shot, setup, encode(shown), exposure, kelvin, readings)


def solved(shot: Shot, tracing: Tracing) -> tuple[PlacedSetup, NDArray[np.float64]]:
    """Return the setup with its dimmers solved, and `hero_lux` of each lamp undimmed, (lamps, 2)."""
    light = hero_lux(shot, tracing).mean(axis=1)
    return dimmed(shot.setup, tuple(light.sum(axis=1)[: len(shot.setup.lamps)])), light


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


def _white(
    camera: CameraModel, radiance: Sequence[Spectrum], weights: Sequence[float]
) -> tuple[NDArray[np.float64], float | None]:
    """Return the XYZ that is rendered neutral, and its kelvin: None of coloured light, which has none.

    Automatic white balance is the lamps' own mix, each by the light that it gives the subject.
    """
    if camera.white_balance != "auto":
        return xyz(blackbody(camera.white_balance)), camera.white_balance
    total = sum(weights)
    shares = [w / total for w in weights] if total > 0 else [1.0 / len(weights)] * len(weights)
    mix = np.sum([s * r / luminous(r) for s, r in zip(shares, radiance, strict=True) if s > 0], axis=0)
    try:
        return xyz(mix), cct_duv(mix)[0]
    except ValueError:
        return xyz(mix), None
