"""A lamp that is owned: what was declared of it, and the light that follows from that."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from functools import cached_property
from pathlib import Path
from typing import Any, Final

import numpy as np

from materials.arrays import Vector
from materials.light.colour_temperature import cct_duv
from materials.light.spectra import Spectrum
from scenes.arrangement.folder import Folder
from scenes.arrangement.lamp_model import CompleteLamp
from scenes.geometry import axes_facing

from .distribution import Distribution
from .emitter_shape import EmitterShape
from .files.photometry import Photometry
from .light_source import LightSource, light_source_of, spectrum_of
from .output import behind_modifiers, emitted_lumens, opening_of

FRONT_SHARE_NOTED: Final = 0.98
"""The share of a file's light that leaves to the front, below which a note says that the rest is left out."""


@dataclass(frozen=True, eq=False)
class Lamp:
    """A lamp and its light at full power. Lamps are equal where the same was declared of them.

    Parameters
    ----------
    model
        What is declared, completed by a kit, a preset and a photometric file.
    lumens
        Luminous flux that leaves the lamp with its modifiers.
    share
        Of its bare lumens that get out: grid, snoot or diffuser absorb the rest.
    spectrum : (351,)
        W/nm of one lumen.
    distribution
        None of a Lambertian opening or an even bulb.
    notes
        Sentences on what is only estimated.
    stated, folder
        The keys that were written, from which it is resolved anew when one is varied; the folder of its files.
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
        """The name that its owner gave it."""
        return self.model.name

    @property
    def source(self) -> LightSource:
        """What makes its light."""
        return light_source_of(self.model)

    @cached_property
    def cct(self) -> float | None:
        """Its correlated colour temperature, K; None of coloured light."""
        try:
            return cct_duv(self.spectrum)[0]
        except ValueError:
            return None

    @property
    def bare_lumens(self) -> float:
        """The lumens on its label: of the lamp without modifiers."""
        return self.lumens / self.share

    @property
    def extent_cm(self) -> tuple[float, float]:
        """Width and height of its luminous opening, cm."""
        return self.model.extent_cm

    def extent_turned(self, *, upright: bool) -> tuple[float, float]:
        """Return width and height of its luminous opening with its longer side upright or level, cm."""
        short, long = sorted(self.extent_cm)
        return (short, long) if upright else (long, short)

    def named(self, name: str) -> Lamp:
        """Return the same lamp under another name."""
        return replace(self, model=self.model.model_copy(update={"name": name}), stated={**self.stated, "name": name})

    @cached_property
    def _opening(self) -> EmitterShape:
        return opening_of(self.model, self.distribution)

    def emitter(self, at_cm: Vector, facing: Vector, *, upright: bool = False) -> EmitterShape:
        """Return its luminous opening at a position (3,), cm, facing a direction (3,).

        Where its longer side is turned upright or level against how it is declared, its measured beam turns with it.
        """
        own = self._opening
        axes = own.axes if own.kind == "bulb" and own.intensity is None else axes_facing(facing)
        if self.extent_turned(upright=upright) != self.extent_cm:
            axes = np.column_stack([axes[:, 1], -axes[:, 0], axes[:, 2]])
        return EmitterShape(own.kind, np.asarray(at_cm, dtype=float), axes, own.half, own.intensity)


def lamp_of(
    model: CompleteLamp, photometry: Photometry | None, measured: Spectrum | None, stated: Mapping[str, Any],
    folder: Folder,
) -> Lamp:  # fmt: skip
    """Return a lamp with its light, from its model and the contents of the files that it names.

    Raises
    ------
    InputError
        Where none of its light gets out, or none reaches its meter.
    """
    unmodified = (
        photometry.distribution if photometry else Distribution.beam(model.beam_deg) if model.beam_deg else None
    )
    distribution, share = behind_modifiers(model, unmodified)
    notes = [f"{model.name}: {note}" for note in photometry.notes] if photometry else []
    if photometry and model.kind != "bulb" and photometry.distribution.front_share() < FRONT_SHARE_NOTED:
        behind = 100 * (1 - photometry.distribution.front_share())
        notes.append(f"{model.name}: {behind:.0f} % of its light leaves to the back and is left out")
    lumens, guesses = emitted_lumens(model, distribution, share)
    spectrum = spectrum_of(model) if measured is None else measured
    return Lamp(model, lumens, share, spectrum, distribution, (*notes, *guesses), stated, folder)
