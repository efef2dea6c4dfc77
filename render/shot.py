"""A shot: a placed setup with its geometry and camera, and its light by all lamps as dimmed."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from materials.arrays import Mask
from materials.light.spectra import Spectrum, xyz
from render.camera.exposure import INCIDENT, LENS, WHITE, choose_exposure
from render.camera.lamp_bodies import visible_body
from render.camera.locked_exposure import LockedExposure, WhitePoint, white_point
from render.description.lit_emitter import LitEmitter, lit_emitters
from render.description.scene import Geometry, Meter
from render.images.lamp_images import LitLamp, lamp_xyz, scene_xyz
from render.images.tracing import Tracing
from render.readings.dimming import with_solved_dimmers
from render.readings.metering import hero_meter, lux
from scenes.arrangement.arrangement import CameraModel
from scenes.lamps.emitter_shape import EmitterShape
from scenes.setups.placed import PlacedSetup

if TYPE_CHECKING:
    from render.kernel.features import Features


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

    @property
    def emitter_shapes(self) -> tuple[EmitterShape, ...]:
        """The shapes of `lit_emitters`, of unit radiance."""
        return tuple(emitter.shape for emitter in self.lit_emitters)

    @cached_property
    def hero_meter(self) -> Meter:
        """The meter in front of the hero, facing the camera."""
        return hero_meter(self.setup)


@dataclass(frozen=True, eq=False)
class ShotLight:
    """The light of a shot with its dimmers solved, before the exposure.

    Parameters
    ----------
    setup
        The shot's setup, its dimmers solved.
    xyz : (height, width, 3)
        XYZ of each pixel, Y in cd/m2.
    lamp_bodies : (height, width)
        Where a lamp itself is visible.
    direct_lux, indirect_lux : (emitters,)
        Illuminance at the hero by each emitter as dimmed: unscattered light, and light scattered by other surfaces.
    white
        The white point of the white balance.
    """

    shot: Shot
    setup: PlacedSetup
    features: Features
    xyz: NDArray[np.float32]
    lamp_bodies: Mask
    direct_lux: NDArray[np.float64]
    indirect_lux: NDArray[np.float64]
    white: WhitePoint

    @property
    def metered_exposure(self) -> LockedExposure:
        """The exposure and the white balance metered for this shot alone."""
        share = np.where(self.lamp_bodies, 0.0, self.features.subject).astype(np.float32)
        lux = INCIDENT * LENS / WHITE * _metered_white(self.xyz[..., 1], share)
        return LockedExposure(choose_exposure(self.shot.camera, lux, 0.0, 0.0).exposure, self.white)

    @property
    def subject_mask(self) -> Mask:
        """The pixels that the subject covers by more than half."""
        return _subject_mask(self.features, self.lamp_bodies)

    @property
    def backdrop_mask(self) -> Mask:
        """The pixels that the backdrop covers alone."""
        return np.asarray((self.features.backdrop > 0.99) & ~self.lamp_bodies)


def shot_light(shot: Shot, tracing: Tracing, passes: int) -> ShotLight:
    """Return the light of a shot; traces what is not stored of its lamp images."""
    features = tracing.features(shot.geometry)
    setup, full_lux = solve_dimmers(shot, tracing)
    emitters = lit_emitters(setup, shot.room)
    images = [tracing.image(shot.geometry, emitter.shape, passes) for emitter in emitters]
    lamps = [lamp_xyz(LitLamp(image, emitter.dimmed_radiance)) for image, emitter in zip(images, emitters, strict=True)]
    bodies = _composite_bodies(shot, features, lamps, emitters)
    subject = _subject_mask(features, bodies)
    weights = [float(image[subject, 1].sum()) for image in lamps]
    white = white_point(shot.camera, [emitter.radiance for emitter in emitters], weights)
    direct, indirect = (full_lux * np.array([emitter.dimmer for emitter in emitters])[:, None]).T
    return ShotLight(shot, setup, features, scene_xyz(lamps), bodies, direct, indirect, white)


def solve_dimmers(shot: Shot, tracing: Tracing) -> tuple[PlacedSetup, NDArray[np.float64]]:
    """Return the setup with its dimmers solved, and `hero_lux` averaged over batches, (emitters, 2)."""
    full_lux = hero_lux(shot, tracing).mean(axis=1)
    return with_solved_dimmers(shot.setup, full_lux.sum(axis=1)), full_lux


def hero_lux(shot: Shot, tracing: Tracing) -> NDArray[np.float64]:
    """Return the illuminance at the hero by each emitter undimmed, lx, (emitters, batches, 2).

    The last axis has direct and indirect illuminance.
    """
    irradiance = tracing.irradiance(shot.geometry, shot.emitter_shapes, (shot.hero_meter,))[:, :, :, 0]
    pairs = zip(irradiance, shot.lit_emitters, strict=True)
    return np.array([lux(by_band, emitter.radiance) for by_band, emitter in pairs])


def _metered_white(luminance: NDArray[np.float32], subject: NDArray[np.float32]) -> float:
    """Return the luminance that becomes white, cd/m2, by the bright part of the subject; temporary, until the key."""
    metered = luminance[subject > 0.5] if (subject > 0.5).any() else luminance.ravel()
    return max(float(np.percentile(metered, 95)) / 0.6, float(np.percentile(metered, 98)))


def _subject_mask(features: Features, lamp_bodies: Mask) -> Mask:
    return np.asarray((features.subject > 0.5) & ~lamp_bodies)


def _composite_bodies(
    shot: Shot, features: Features, images: Sequence[NDArray[np.float32]], emitters: Sequence[LitEmitter]
) -> Mask:
    """Put the visible lamp bodies into the lamps' images, in place, and return where they are.

    A body hides the light traced through it and the lamps behind it; its lit face shows its own radiance only.
    """
    covered = np.zeros(features.depth.shape, bool)
    camera = shot.geometry.camera
    lamps = [(image, emitter) for image, emitter in zip(images, emitters, strict=True) if emitter.lamp is not None]
    for own, emitter in sorted(lamps, key=lambda lamp: -float(np.linalg.norm(lamp[1].shape.at - camera.at))):
        body, radiance = visible_body(emitter.shape, camera, features.depth)
        covered |= body
        for image in images:
            image[body] = 0.0
        own[body] = radiance[body][:, None] * xyz(emitter.dimmed_radiance)
    return covered
