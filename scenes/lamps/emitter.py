"""What a lamp gives, from what is known of it: lumens, spectrum, and where the light goes."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from pathlib import Path
from typing import Final

import numpy as np

from materials.arrays import Vector
from materials.light.illuminants import illuminant, illuminant_names
from materials.light.led import bicolour_led, white_led
from materials.light.spectra import Spectrum, blackbody
from materials.surface.boards import named_boards
from scenes.errors import InputError
from scenes.geometry import axes_facing
from scenes.lamps.files.photometric import read_photometry
from scenes.lamps.files.spectrum import read_spectrum
from scenes.units import M_PER_CM

from .direct_light import on_axis_factor
from .distribution import Distribution
from .face import Face
from .lamp import LampModel, LuxAt
from .modifiers import grid, snoot

LUMENS: Final = 1000.0
"""Of a lamp of which nothing is known."""
FILAMENTS: Final = ("blackbody", "A")
"""Spectra of filament lamps where one is named; a lamp that names none is taken for an LED."""
LUMENS_PER_WATT: Final = {"led": 100.0, "filament": 14.0}
"""By electrical watts: LED lamps and filament lamps as labels have them (common practice, no source)."""
WATTS_ARE_RIGHT_WITHIN: Final = 0.3

SAID_BELOW: Final = 0.98


@dataclass(frozen=True, eq=False)
class LampLight:
    """A lamp's light at full: lumens that leave it, (351,) spectrum of one lumen, where they go (None: evenly).

    `share` is what they are of the lumens on its label; the rest is held back by what is before it. `notes` say in
    sentences what is only roughly known.
    """

    lumens: float
    share: float
    spectrum: Spectrum
    distribution: Distribution | None
    notes: tuple[str, ...]


@lru_cache(maxsize=256)
def light_of(lamp: LampModel) -> LampLight:
    """Return a lamp's light; files are read as `photometry` and `spectrum` name them.

    Raises
    ------
    InputError
        Where a file is wrong.
    """
    photometry = read_photometry(Path(lamp.photometry)) if lamp.photometry else None
    bare = photometry.distribution if photometry else Distribution.beam(lamp.beam_deg) if lamp.beam_deg else None
    distribution, share = _through(lamp, bare)
    notes = [f"{lamp.name}: {note}" for note in photometry.notes] if photometry else []
    if photometry and lamp.kind != "bulb" and photometry.distribution.front_share() < SAID_BELOW:
        behind = 100 * (1 - photometry.distribution.front_share())
        notes.append(f"{lamp.name}: {behind:.0f} % of its light goes behind its face and is left out")
    if lamp.lux_at is not None:
        lumens = _lumens_for(lamp.lux_at, _face(lamp, distribution), lamp.name)
    elif lamp.lumens is not None or lamp.watts is None:
        lumens = (lamp.lumens or LUMENS) * share
        if lamp.lumens is None:
            notes.append(f"{lamp.name}: nothing says how bright it is, so {LUMENS:g} lm: give lumens, watts or lux_at")
    else:
        efficacy = LUMENS_PER_WATT["filament" if lamp.spectrum in FILAMENTS else "led"]
        lumens = lamp.watts * efficacy * share
        notes.append(
            f"{lamp.name}: lumens are taken from {lamp.watts:g} W at {efficacy:g} lm/W, right within "
            f"{100 * WATTS_ARE_RIGHT_WITHIN:.0f} %, half a stop: a light meter's lux_at is better"
        )
    return LampLight(lumens, share, spectrum_of(lamp), distribution, tuple(notes))


def face_of(lamp: LampModel, at_cm: Vector, facing: Vector) -> Face:
    """Return what shines of a lamp, in cm, at a place and facing some way."""
    face = _face(lamp, light_of(lamp).distribution)
    axes = face.axes if face.kind == "bulb" and face.intensity is None else axes_facing(facing)
    return Face(face.kind, np.asarray(at_cm, dtype=float), axes, face.half, face.intensity)


def spectrum_of(lamp: LampModel) -> Spectrum:
    """Return the spectrum of a lamp, (351,) W/nm per lumen."""
    if lamp.kelvin_range is not None:
        return bicolour_led(lamp.kelvin, *lamp.kelvin_range)
    if lamp.spectrum == "led":
        return white_led(lamp.kelvin)
    if lamp.spectrum in illuminant_names():
        return illuminant(lamp.spectrum)
    if lamp.spectrum in (None, "blackbody"):
        return blackbody(lamp.kelvin)
    return read_spectrum(Path(lamp.spectrum))


def _lumens_for(reading: LuxAt, face: Face, name: str) -> float:
    """Return the lumens of a lamp, as it stands with all that is on it, that a meter reads so many lux of."""
    factor = on_axis_factor(face, reading.cm)
    if factor <= 0:
        raise InputError(
            f"lamp '{name}': no light of it reaches lux_at.cm = {reading.cm:g} straight ahead; measure farther off"
        )
    return reading.lux * face.etendue * M_PER_CM**2 / factor


def _through(lamp: LampModel, bare: Distribution | None) -> tuple[Distribution | None, float]:
    """Return where the light goes through what is before the lamp, and the share of the label's lumens that gets out.

    A tube takes what enters its rear end, of a face as bright all over. A sheet on the lamp spreads what comes through
    as if it shone itself.
    """
    distribution, share = bare, 1.0
    if lamp.kind != "bulb" and bare is not None:
        share = bare.front_share()
        if share <= 0:
            raise InputError(f"lamp '{lamp.name}': {lamp.photometry} sends no light forward; make it a bulb")
    opening = grid(lamp.grid_deg) if lamp.grid_deg else None
    if lamp.snoot is not None:
        opening = snoot(lamp.snoot.length_cm, lamp.snoot.diameter_cm)
        width, height = lamp.size_cm or (lamp.diameter_cm or 1.0, lamp.diameter_cm or 1.0)
        area = width * height if lamp.kind == "panel" else np.pi / 4 * (width**2 - (lamp.hole_cm or 0.0) ** 2)
        share *= min(1.0, np.pi / 4 * lamp.snoot.diameter_cm**2 / area)
    if opening is not None:
        before = bare or Distribution.lambertian()
        try:
            distribution = before.times(opening)
        except ValueError:
            raise InputError(
                f"lamp '{lamp.name}': no light of it gets through its grid_deg or snoot; take a wider one"
            ) from None
        share *= distribution.flux(90.0) / before.flux(90.0)
    if lamp.sheet is not None:
        return None, share * named_boards()[lamp.sheet].transmittance
    return distribution, share


def _face(lamp: LampModel, distribution: Distribution | None) -> Face:
    """Return a lamp's face at the origin."""
    width, height = lamp.extent_cm
    kind = "disc" if lamp.snoot is not None else lamp.kind
    half = (width / 2, (lamp.hole_cm or 0.0) / 2 if kind == "ring" else height / 2)
    table = None
    if distribution is not None:
        table = distribution.table(4 * np.pi) if kind == "bulb" else distribution.table(np.pi, to_deg=90.0)
    return Face(kind, np.zeros(3), np.eye(3), half, table)
