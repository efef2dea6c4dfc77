"""A frame: a shot exposed, developed and denoised, with its readings."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from materials.arrays import Image, Mask
from render.camera.development import develop
from render.camera.dither import encode_dithered
from render.camera.exposure import Exposure
from render.camera.lamp_bodies import camera_rays
from render.camera.locked_exposure import LockedExposure, WhitePoint
from render.camera.row_bands import row_bands
from render.camera.visibility import visible_mask
from render.clean_picture import clean_xyz
from render.hero_light import CARD
from render.images.tracing import Tracing
from render.readings import highlights, metering
from render.readings.metering import Readings
from render.shot import Shot
from render.shot_images import ShotImages, shot_images
from render.shot_light import ShotLight, sum_of_images
from scenes.lifelong_cache import cached_for_life
from scenes.setups.placed import PlacedSetup
from scenes.subject.subject import Subject
from scenes.units import metres


@dataclass(frozen=True, eq=False)
class Frame:
    """A developed picture with its camera settings and readings.

    Parameters
    ----------
    setup
        The shot's setup, its dimmers solved.
    rgb : (height, width, 3)
        8-bit sRGB.
    white
        What is rendered neutral.
    own_white
        What would be by the frame's own light; the white balance may be locked to another frame's.
    metered
        What the light was metered by, in words.
    """

    shot: Shot
    setup: PlacedSetup
    rgb: NDArray[np.uint8]
    exposure: Exposure
    white: WhitePoint
    own_white: WhitePoint
    metered: str
    readings: Readings

    @property
    def white_balance_kelvin(self) -> float | None:
        """None for coloured light, which has no correlated colour temperature."""
        return self.white.kelvin


def take_frame(shot: Shot, tracing: Tracing, passes: int, locked: LockedExposure | None = None) -> Frame:
    """Return the frame of a shot; traces what is not stored of its lamp images.

    Without a `locked` exposure and white balance, those metered for the shot are used. What would bring an exposure
    within the camera's reach is added to the setup's shortfalls.
    """
    return frame_of(shot_images(shot, tracing, passes), locked)


def frame_of(images: ShotImages, locked: LockedExposure | None = None) -> Frame:
    """Return the frame of a shot, of its images, as `take_frame`; may be used in any thread."""
    light = sum_of_images(images)
    locked = locked or light.metered_exposure
    clean = developed(light, locked)
    readings = _readings(light, clean, locked.exposure)
    lacks = (locked.remedy,) if locked.remedy else ()
    setup = replace(light.setup, shortfalls=(*light.setup.shortfalls, *lacks))
    rgb, white = encode_dithered(clean), locked.white
    return Frame(images.shot, setup, rgb, locked.exposure, white, light.white, light.basis, readings)


def developed(light: ShotLight, locked: LockedExposure) -> Image:
    """Return the denoised linear sRGB of a shot's light, 1 at the frame's white, (height, width, 3)."""
    return develop(clean_xyz(light), locked.exposure, locked.white.xyz)


def _readings(light: ShotLight, linear: Image, exposure: Exposure) -> Readings:
    """Return the readings of a frame; `linear` is its denoised linear sRGB, (height, width, 3)."""
    hero, subject, backdrop = light.hero, light.subject_mask, light.backdrop_mask
    relative = highlights.relative_luminance(linear)
    luminance = relative * exposure.white_cd_m2
    steps = highlights.lightness_steps(relative, light.specular / np.float32(exposure.white_cd_m2), subject)
    return Readings(
        subject_lux=light.metered_lux,
        key_to_fill_stops=metering.key_to_fill_stops(hero.by_emitter(CARD), hero.key, bool(light.setup.cards)),
        backdrop_stops=metering.backdrop_stops(light.xyz[..., 1], subject, backdrop & _beyond_table(light)),
        clipped_percent=metering.clipped_percent(linear, subject),
        backdrop_clipped_percent=metering.clipped_percent(linear, backdrop),
        crushed_percent=metering.crushed_percent(luminance, subject),
        edge_stops=metering.edge_stops(luminance, subject, backdrop),
        room_stops=metering.room_stops(hero.metered_lux, hero.room_lux),
        shine_lightness=highlights.shine_lightness(steps),
        highlight_percent=highlights.highlight_percent(steps),
        texture_contrast_stops=highlights.texture_contrast_stops(relative, subject & _texture_mask(light)),
    )


def _beyond_table(light: ShotLight) -> Mask:
    """Return the pixels of points beyond the flat part of the backdrop: on its curve or its wall."""
    sweep, camera = light.shot.setup.sweep, light.shot.geometry.camera
    depth = light.features.depth
    beyond = np.zeros(depth.shape, bool)
    if sweep is None:
        return beyond
    for rows in row_bands(camera.height):
        y = camera.at[1] + camera_rays(camera, (rows, slice(None)))[..., 1] * depth[rows]
        beyond[rows] = y > float(metres(sweep.wall_cm - sweep.radius_cm))
    return beyond


def _texture_mask(light: ShotLight) -> Mask:
    """Return the pixels whose texture is measured: of the parts that the shot names, else all."""
    subject, pattern = light.setup.subject, light.shot.texture_of
    if subject is None or pattern is None:
        return np.ones(light.lamp_bodies.shape, bool)
    camera, features = light.shot.geometry.camera, light.features
    return visible_mask(_only(subject, pattern), camera, features.depth, features.body_depth)


@cached_for_life
def _only(subject: Subject, pattern: str) -> Subject:
    """Return the subject of the parts that match alone, which setups that turn it alike share."""
    return replace(subject, parts=subject.matching(pattern))
