"""Spectral pictures in the layout of Fichet, Pacanowski and Wilkie, "An OpenEXR Layout for Spectral Images".

JCGT 10(3), 2021. A channel for each wavelength, S0 being all light whatever its polarization, in the unit of the
attribute emissiveUnits per nm; R, G and B for programs that know no spectra.
"""

from __future__ import annotations

from collections.abc import Iterable
from pathlib import Path
from typing import Any

from gallery.files.exr import write_exr
from materials.arrays import Image
from materials.light.observer import WAVELENGTHS_NM
from render.spectral_picture import SpectralPicture

LAYOUT = {"spectralLayoutVersion": "1.0", "emissiveUnits": "W.m^-2.sr^-1"}


def channel_name(wavelength_nm: float) -> str:
    """Return the name of the channel of a wavelength: `S0.380,000000nm`, with a comma, since dots divide layers."""
    decimal = f"{wavelength_nm:.6f}".replace(".", ",")
    return f"S0.{decimal}nm"


def spectrum_text(wavelengths_nm: Iterable[float], values: Iterable[float]) -> str:
    """Return a spectrum as the layout has it in attributes: `380nm:0.0012;381nm:0.0013`."""
    return ";".join(f"{nm:g}nm:{value:.7g}" for nm, value in zip(wavelengths_nm, values, strict=True))


def write_spectral_exr(path: Path, picture: SpectralPicture, preview: Image, attributes: dict[str, Any]) -> None:
    """Write a spectral picture, and its linear sRGB (height, width, 3) as R, G and B, whole or not at all.

    The attribute lampRadiance of a lamp's picture under a flat spectrum has what to multiply it by, W/(m2 sr nm).

    Raises
    ------
    OSError
        Where it cannot be written.
    """
    channels = {name: preview[..., i] for i, name in enumerate("RGB")}
    channels |= {channel_name(nm): plane for nm, plane in zip(picture.wavelengths_nm, picture.radiance, strict=True)}
    own = {} if (lamp := picture.lamp_radiance) is None else {"lampRadiance": spectrum_text(WAVELENGTHS_NM, lamp)}
    write_exr(path, channels, {**LAYOUT, **own, **attributes})
