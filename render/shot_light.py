"""The light of a shot by all lamps as dimmed: what its camera sees, and what exposes it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from materials.arrays import Mask
from materials.light.spectra import xyz
from render.camera.exposure import ChosenExposure
from render.camera.lamp_bodies import visible_bodies
from render.camera.locked_exposure import LockedExposure, WhitePoint, white_point
from render.description.lit_emitter import LitEmitter
from render.hero_light import HeroLight, metered_lux
from render.images.lamp_images import scene_xyz
from render.images.tracing import Tracing
from render.readings.coverage import most_covered, wholly_covered
from render.shot import Shot
from render.shot_images import ShotImages, shot_images
from scenes.setups.placed import PlacedSetup

if TYPE_CHECKING:
    from render.kernel.features import Features


@dataclass(frozen=True, eq=False)
class ShotLight:
    """The light of a shot with its dimmers solved, before the exposure.

    Parameters
    ----------
    images
        What it is the sum of.
    xyz : (height, width, 3)
        XYZ of each pixel, Y in cd/m2.
    specular : (height, width)
        The part of that Y that facets of the first surface mirrored, behind lamp bodies too.
    lamp_bodies : (height, width)
        Where a lamp itself is visible.
    white
        The white point of the white balance.
    """

    images: ShotImages
    xyz: NDArray[np.float32]
    specular: NDArray[np.float32]
    lamp_bodies: Mask
    white: WhitePoint

    @property
    def shot(self) -> Shot:
        """The shot."""
        return self.images.shot

    @property
    def hero(self) -> HeroLight:
        """The light at the hero."""
        return self.images.hero

    @property
    def features(self) -> Features:
        """What its camera sees without any light."""
        return self.images.features

    @property
    def setup(self) -> PlacedSetup:
        """The shot's setup, its dimmers solved."""
        return self.hero.setup

    @property
    def metered_lux(self) -> float:
        """What the exposure is metered by: the illuminance at the hero, or what the whole frame reads as one, lx."""
        return metered_lux(self.hero, self.xyz[..., 1])

    @property
    def basis(self) -> str:
        """What the exposure is metered by, in words."""
        return "the whole frame" if self.shot.camera.exposure == "scene" else self.hero.basis

    @property
    def chosen_exposure(self) -> ChosenExposure:
        """The exposure metered for this shot alone."""
        return self.hero.chosen_exposure(self.metered_lux)

    @property
    def metered_exposure(self) -> LockedExposure:
        """The exposure and the white balance metered for this shot alone."""
        chosen = self.chosen_exposure
        return LockedExposure(chosen.exposure, self.white, chosen.remedy)

    @property
    def subject_mask(self) -> Mask:
        """The pixels that the subject covers wholly; of a thin one, those that it covers most."""
        return np.asarray(most_covered(self.features.subject) & ~self.lamp_bodies)

    @property
    def backdrop_mask(self) -> Mask:
        """The pixels that the backdrop covers wholly."""
        return np.asarray(wholly_covered(self.features.backdrop) & ~self.lamp_bodies)


def shot_light(shot: Shot, tracing: Tracing, passes: int) -> ShotLight:
    """Return the light of a shot; traces what is not stored of its lamp images."""
    return sum_of_images(shot_images(shot, tracing, passes))


def sum_of_images(images: ShotImages) -> ShotLight:
    """Return the light of a shot, of its images; may be used in any thread."""
    shot, features, emitters = images.shot, images.features, images.hero.emitters
    lamps, specular = [], np.zeros(features.depth.shape, np.float32)
    for emitter, lit in zip(emitters, images.lit, strict=True):
        lamps.append(lit.xyz * np.float32(emitter.dimmer))
        specular += lit.specular * np.float32(emitter.dimmer)
    bodies = composite_bodies(shot, features, lamps, emitters)
    subject = most_covered(features.subject) & ~bodies
    weights = [float(image[subject, 1].sum()) for image in lamps]
    white = white_point(shot.camera, [emitter.radiance for emitter in emitters], weights)
    return ShotLight(images, scene_xyz(lamps), specular, bodies, white)


def composite_bodies(
    shot: Shot, features: Features, images: Sequence[NDArray[np.float32]], emitters: Sequence[LitEmitter]
) -> Mask:
    """Put the visible lamp bodies into the images of the emitters as dimmed, in place, and return where they are.

    A body hides the light traced through it and the lamps behind it; its lit face shows its own radiance only.
    """
    covered = np.zeros(features.depth.shape, bool)
    for i, body, relative in visible_bodies(emitters, shot.geometry.camera, features.body_depth):
        covered |= body
        for image in images:
            image[body] = 0.0
        images[i][body] = relative[body][:, None] * xyz(emitters[i].dimmed_radiance)
    return covered
