"""A lamp that is owned: what was declared of it, and the light that follows from that."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from functools import cached_property
from pathlib import Path
from typing import Any, Final

import numpy as np

from materials.arrays import Vector
from materials.light.illuminants import illuminant, illuminant_names
from materials.light.led import bicolour_led, white_led
from materials.light.spectra import Spectrum, blackbody
from materials.surface.boards import named_boards
from scenes.arrangement.folder import Folder
from scenes.arrangement.lamp_model import CompleteLamp, LuxAt
from scenes.errors import InputError
from scenes.geometry import axes_facing
from scenes.units import M_PER_CM

from .direct_light import on_axis_factor
from .distribution import Distribution
from .emitter_shape import EmitterShape
from .files.photometry import Photometry
from .modifiers import grid, snoot

LUMENS: Final = 1000.0
"""Of a lamp of which nothing is known."""
FILAMENTS: Final = ("blackbody", "A")
"""Spectra of filament lamps where one is named; a lamp that names none is taken for an LED."""
ELECTRICAL_EFFICACY: Final = {"led": 100.0, "filament": 14.0}
"""Lumens per electrical watt of LED lamps and filament lamps, as labels have them (common practice, no source)."""
WATTS_ARE_RIGHT_WITHIN: Final = 0.3
NOTED_BELOW: Final = 0.98
"""The share of a file's light that leaves to the front, below which a note says that the rest is left out."""


@dataclass(frozen=True, eq=False)
class Lamp:
    """A lamp and its light at full.

    Two are equal where the same was declared of them.

    Parameters
    ----------
    model
        What is declared, completed by a kit, a preset and a photometric file.
    lumens
        What leaves the lamp, with all that is on it.
    share
        What part of its bare lumens that is: a grid, a snoot or a diffuser holds back the rest.
    spectrum : (351,)
        W/nm of one lumen.
    distribution
        None of a Lambertian opening or an even bulb.
    notes
        Sentences on what is only roughly known.
    stated, folder
        What was written of it before presets and files filled it in, by which it is resolved anew when one of its
        keys is varied, and where its files lie.
    """

    model: CompleteLamp
    lumens: float
    share: float
    spectrum: Spectrum
    distribution: Distribution | None
    notes: tuple[str, ...]
    stated: Mapping[str, Any]
    folder: Folder

    def __eq__(self, other: object) -> bool:
        return self._identity == other._identity if isinstance(other, Lamp) else NotImplemented

    def __hash__(self) -> int:
        return hash(self._identity)

    @property
    def _identity(self) -> tuple[CompleteLamp, Path]:
        return self.model, self.folder.path

    @property
    def name(self) -> str:
        """Its owner's name for it."""
        return self.model.name

    @property
    def bare_lumens(self) -> float:
        """The lumens on its label: of the lamp without what is on it."""
        return self.lumens / self.share

    @property
    def extent_cm(self) -> tuple[float, float]:
        """Width and height of what shines, facing it."""
        return self.model.extent_cm

    def named(self, name: str) -> Lamp:
        """Return the same lamp under another name."""
        return replace(self, model=self.model.model_copy(update={"name": name}), stated={**self.stated, "name": name})

    @cached_property
    def _opening(self) -> EmitterShape:
        return _opening(self.model, self.distribution)

    def emitter(self, at_cm: Vector, facing: Vector) -> EmitterShape:
        """Return its luminous opening in cm, at a place and facing some way."""
        own = self._opening
        axes = own.axes if own.kind == "bulb" and own.intensity is None else axes_facing(facing)
        return EmitterShape(own.kind, np.asarray(at_cm, dtype=float), axes, own.half, own.intensity)


def lamp_of(
    model: CompleteLamp, photometry: Photometry | None, measured: Spectrum | None, stated: Mapping[str, Any],
    folder: Folder,
) -> Lamp:  # fmt: skip
    """Return a lamp with its light, by the contents of the files that it names.

    Raises
    ------
    InputError
        Where no light of it gets out, or its meter reads none.
    """
    bare = photometry.distribution if photometry else Distribution.beam(model.beam_deg) if model.beam_deg else None
    distribution, share = _through_modifiers(model, bare)
    notes = [f"{model.name}: {note}" for note in photometry.notes] if photometry else []
    if photometry and model.kind != "bulb" and photometry.distribution.front_share() < NOTED_BELOW:
        behind = 100 * (1 - photometry.distribution.front_share())
        notes.append(f"{model.name}: {behind:.0f} % of its light goes behind its face and is left out")
    lumens, guesses = _lumens(model, distribution, share)
    spectrum = spectrum_of(model) if measured is None else measured
    return Lamp(model, lumens, share, spectrum, distribution, (*notes, *guesses), stated, folder)


def spectrum_of(model: CompleteLamp) -> Spectrum:
    """Return the spectrum of a lamp that names no file, (351,) W/nm per lumen."""
    if model.kelvin_range is not None:
        return bicolour_led(model.kelvin, *model.kelvin_range)
    if model.spectrum == "led":
        return white_led(model.kelvin)
    if model.spectrum in illuminant_names():
        return illuminant(model.spectrum)
    return blackbody(model.kelvin)


def _lumens(model: CompleteLamp, distribution: Distribution | None, share: float) -> tuple[float, list[str]]:
    """Return the lumens that leave a lamp, and notes on what was guessed."""
    if model.lux_at is not None:
        return _lumens_for(model.lux_at, _opening(model, distribution), model.name), []
    if model.lumens is not None:
        return model.lumens * share, []
    if model.watts is None:
        return LUMENS * share, [
            f"{model.name}: nothing says how bright it is, so {LUMENS:g} lm: give lumens, watts or lux_at"
        ]
    efficacy = ELECTRICAL_EFFICACY["filament" if model.spectrum in FILAMENTS else "led"]
    return model.watts * efficacy * share, [
        f"{model.name}: lumens are taken from {model.watts:g} W at {efficacy:g} lm/W, right within "
        f"{100 * WATTS_ARE_RIGHT_WITHIN:.0f} %, half a stop: a light meter's lux_at is better"
    ]


def _lumens_for(reading: LuxAt, opening: EmitterShape, name: str) -> float:
    """Return the lumens of a lamp, as it stands with all that is on it, that a meter reads so many lux of."""
    factor = on_axis_factor(opening, reading.cm)
    if factor <= 0:
        raise InputError(
            f"lamp '{name}': no light of it reaches lux_at.cm = {reading.cm:g} straight ahead; measure farther off"
        )
    return reading.lux * opening.etendue * M_PER_CM**2 / factor


def _through_modifiers(model: CompleteLamp, bare: Distribution | None) -> tuple[Distribution | None, float]:
    """Return where the light goes through grid, snoot and diffuser, and what share of the bare lumens gets out.

    A tube takes what enters its rear end, of an opening as bright all over. A diffuser on the lamp spreads what comes
    through as if it shone itself.
    """
    distribution, share = bare, 1.0
    if model.kind != "bulb" and bare is not None:
        share = bare.front_share()
        if share <= 0:
            raise InputError(f"lamp '{model.name}': {model.photometry} sends no light forward; make it a bulb")
    tube = grid(model.grid_deg) if model.grid_deg else None
    if model.snoot is not None:
        tube = snoot(model.snoot.length_cm, model.snoot.diameter_cm)
        width, height = model.size_cm or (model.diameter_cm or 1.0, model.diameter_cm or 1.0)
        area = width * height if model.kind == "panel" else np.pi / 4 * (width**2 - (model.hole_cm or 0.0) ** 2)
        share *= min(1.0, np.pi / 4 * model.snoot.diameter_cm**2 / area)
    if tube is not None:
        before = bare or Distribution.lambertian()
        try:
            distribution = before.times(tube)
        except ValueError:
            raise InputError(
                f"lamp '{model.name}': no light of it gets through its grid_deg or snoot; take a wider one"
            ) from None
        share *= distribution.flux(90.0) / before.flux(90.0)
    if model.diffuser is not None:
        return None, share * named_boards()[model.diffuser].transmittance
    return distribution, share


def _opening(model: CompleteLamp, distribution: Distribution | None) -> EmitterShape:
    """Return a lamp's luminous opening at the origin, cm."""
    width, height = model.extent_cm
    kind = "disc" if model.snoot is not None else model.kind
    half = (width / 2, (model.hole_cm or 0.0) / 2 if kind == "ring" else height / 2)
    table = None
    if distribution is not None:
        table = distribution.table(4 * np.pi) if kind == "bulb" else distribution.table(np.pi, to_deg=90.0)
    return EmitterShape(kind, np.zeros(3), np.eye(3), half, table)
