"""A shot as other programs take it: what its camera sees, measured, or the frame in 16 bits."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path
from typing import Any, Final

import numpy as np
from numpy.typing import NDArray

from gallery.files.exr import write_exr
from gallery.files.pictures import write_picture
from materials.arrays import Image
from materials.colour.srgb import srgb_encode
from render.camera.development import develop
from render.frame import developed
from render.shot import Shot
from render.shot_light import ShotLight
from render.spectral_picture import SpectralPicture, lamp_picture, lit_picture
from scenes.errors import InputError, nearest

from .kind import Kind
from .spectral_exr import write_spectral_exr

XYZ: Final = {"chromaticities": (1.0, 0.0, 0.0, 1.0, 0.0, 0.0, 1 / 3, 1 / 3), "whiteLuminance": 1.0}
"""Attributes by which R, G and B are X, Y and Z in cd/m2 (OpenEXR, Technical Introduction)."""


@dataclass(frozen=True, eq=False)
class Export:
    """What is written where: the light of a shot, or the picture by one lamp of it, by its number."""

    path: Path
    kind: Kind
    lamp: int | None = None


def lamp_number(shot: Shot, name: str) -> int:
    """Return the number of the emitter of a shot that is called so: by its lamp's role or name, or "room".

    Raises
    ------
    InputError
        Where none is.
    """
    roles, names = [lamp.role for lamp in shot.setup.lamps], [emitter.name for emitter in shot.lit_emitters]
    if name in roles:
        return roles.index(name)
    if name in names:
        return names.index(name)
    known = list(dict.fromkeys([*roles, *names]))
    raise InputError(
        f"--lamp {name}: setup '{shot.setup.name}' has no such lamp, but {', '.join(known)}{nearest(name, known)}"
    )


def write_export(export: Export, light: ShotLight) -> str:
    """Write the file of an export, whole or not at all, and return what it holds, in a sentence.

    Raises
    ------
    OSError
        Where it cannot be written.
    """
    if export.kind is Kind.tiff:
        write_picture(export.path, encode_16_bits(developed(light, light.metered_exposure)))
        return "the frame in sRGB, 16 bits a channel"
    if export.kind is Kind.xyz:
        channels = {name: light.xyz[..., i] for i, name in enumerate("RGB")}
        write_exr(export.path, channels, {**XYZ, **camera_attributes(light)})
        return "XYZ in R, G and B (CIE 1931), Y in cd/m2"
    if export.lamp is None:
        return _write_spectral(export.path, lit_picture(light), light)
    content = _write_spectral(export.path, lamp_picture(light, export.lamp), light)
    return f"{content}, by a lamp of 1 W/(m2 sr nm); times lampRadiance it is as lit"


def _write_spectral(path: Path, picture: SpectralPicture, light: ShotLight) -> str:
    exposure = light.metered_exposure
    preview = develop(picture.xyz, exposure.exposure, exposure.white.xyz)
    white = {"whiteLuminance": exposure.exposure.white_cd_m2}
    write_spectral_exr(path, picture, preview, {**white, **camera_attributes(light)})
    return f"spectral radiance at {picture.wavelengths_nm.size} wavelengths, 380 to 730 nm, W/(m2 sr nm)"


def camera_attributes(light: ShotLight) -> dict[str, Any]:
    """Return OpenEXR's standard attributes of a picture's camera settings, and what is depicted as comments."""
    exposure = light.metered_exposure.exposure
    return {
        "expTime": exposure.shutter_s,
        "aperture": exposure.f_number,
        "isoSpeed": exposure.iso,
        "comments": f"{light.setup.name}, {light.shot.finish}",
    }


def encode_16_bits(linear: Image) -> NDArray[np.uint16]:
    """Return 16-bit sRGB (IEC 61966-2-1) of linear sRGB, clipped to 0 to 1."""
    encoded: NDArray[np.uint16] = np.round(65535.0 * srgb_encode(np.clip(linear, 0.0, 1.0))).astype(np.uint16)
    return encoded
