"""What the camera of a shot sees, as the spectral radiance of each pixel."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from materials.arrays import Array

from .camera.lamp_bodies import VisibleBody, visible_bodies
from .images.lamp_images import LampImage
from .images.spectral_samples import NODES_NM, SAMPLES_NM, node_weights, node_xyz_weights, sample_weights, sampled
from .shot_light import ShotLight


@dataclass(frozen=True, eq=False)
class SpectralPicture:
    """The spectral radiance of each pixel, as traced: not denoised.

    Parameters
    ----------
    wavelengths_nm : (n,)
        Ascending.
    radiance : (n, height, width)
        W/(m2 sr nm). Below zero where the fit to the bands of a saturated colour is.
    xyz : (height, width, 3)
        XYZ of the light that this is of or belongs to, Y in cd/m2.
    lamp_radiance : (351,)
        Of a lamp's picture under a flat unit spectrum, the lamp's own radiance as dimmed; else None.
    """

    wavelengths_nm: Array
    radiance: NDArray[np.float32]
    xyz: NDArray[np.float32]
    lamp_radiance: Array | None = None


def lit_picture(light: ShotLight) -> SpectralPicture:
    """Return the picture by all lamps together, each in its own spectrum and as dimmed, by 5 nm."""
    emitters = light.hero.emitters
    total = np.zeros((SAMPLES_NM.size, *light.lamp_bodies.shape), np.float32)
    for emitter, lit in zip(emitters, light.images.lit, strict=True):
        _add(total, sample_weights(emitter.dimmed_radiance), lit.image)
    for i, body, relative in _bodies(light):
        total[:, body] = np.outer(sampled(emitters[i].dimmed_radiance), relative[body])
    return SpectralPicture(SAMPLES_NM, total, light.xyz)


def lamp_picture(light: ShotLight, lamp: int) -> SpectralPicture:
    """Return the picture by one lamp alone, as if of a flat spectrum of 1 W/(m2 sr nm), at the bands' centres."""
    emitter = light.hero.emitters[lamp]
    picture = np.zeros((NODES_NM.size, *light.lamp_bodies.shape), np.float32)
    _add(picture, node_weights(), light.images.lit[lamp].image)
    for i, body, relative in _bodies(light):
        picture[:, body] = relative[body] if i == lamp else 0.0
    weights = node_xyz_weights(emitter.dimmed_radiance).astype(np.float32)
    xyz: NDArray[np.float32] = np.tensordot(picture, weights, axes=(0, 1))
    return SpectralPicture(NODES_NM, picture, xyz, emitter.dimmed_radiance)


def _add(picture: NDArray[np.float32], weights: Array, image: LampImage) -> None:
    """Add weighted band images to a picture in place, a wavelength at a time: all of them are large."""
    bands = image.mean
    for i, row in enumerate(weights.astype(np.float32)):
        picture[i] += np.tensordot(row, bands, axes=1)


def _bodies(light: ShotLight) -> list[VisibleBody]:
    return visible_bodies(light.hero.emitters, light.shot.geometry.camera, light.features.body_depth)
