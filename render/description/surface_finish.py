"""How the surface of a part takes light: its finish, the file's own paint, a wash in its recesses, the topcoat."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from materials.colour.notation import reflectance_from
from materials.light.spectra import Spectrum
from materials.surface.finish import Finish
from materials.surface.metals import metal_reflectance
from scenes.mesh.paint import Paint
from scenes.subject.part_finishes import PartFinishes, PartRule
from scenes.subject.subject import PLINTH, Part

BARE_COLOUR = "#8c8c8c"  # unpainted grey plastic
BARE_GLOSS = 27.0  # satin, as moulded parts and most paints come out
CLEAR_COLOUR = "#f4f6f5"  # what two surfaces of clear styrene pass between them
METAL_ROUGHNESS = 0.2
AIR_INDEX, COAT_INDEX = 1.0, 1.5
FLAKED = {"metallic": (0.8, 0.35), "candy": (0.9, 0.25), "pearl": (0.3, 0.3)}
"""The share of a paint's body that its flakes make, and how much they scatter; common practice, no source."""


@dataclass(frozen=True, eq=False)
class Washed:
    """A thin paint that settled: how much of it lies at each corner, (m, 3) from 0 to 1, and its colour, (351,)."""

    cover: NDArray[np.float32]
    colour: Spectrum


@dataclass(frozen=True, eq=False)
class SurfaceFinish:
    """The finish of a part, with the paint that stands in for its base and the wash over it, where there are any."""

    finish: Finish
    paint: Paint | None = None
    washed: Washed | None = None


def surface_finish(part: Part, finishes: PartFinishes) -> SurfaceFinish:
    """Return how the surface of a part takes light, by the finishes of its subject."""
    if part.name == PLINTH and finishes.plinth is not None:
        return SurfaceFinish(finishes.plinth)
    rule = finishes.rule_of(part)
    finish = _finish(rule, part.colour, finishes.topcoat_of(part))
    declared = rule.declared
    is_covered = declared.base is not None or declared.metal or declared.clear
    paint = None if is_covered else part.paint
    return SurfaceFinish(finish, paint, _washed(part, finishes))


@lru_cache(maxsize=1024)
def _finish(rule: PartRule, colour: str | None, topcoat: float | None) -> Finish:
    if topcoat is None:
        return _uncoated(rule, colour, AIR_INDEX)
    return _uncoated(rule, colour, COAT_INDEX).under_topcoat(topcoat)


def _uncoated(rule: PartRule, colour: str | None, index_outside: float) -> Finish:
    """Return the finish below any topcoat; a metal by its name reflects less into a coat than into air."""
    part, base = rule.declared, rule.base
    if part.clear:
        clear = Finish.clear(reflectance_from(CLEAR_COLOUR) if base is None else base)
        return clear.under_topcoat(part.gloss) if part.gloss else clear
    if base is None and isinstance(part.metal, str):
        base = metal_reflectance(part.metal, index_outside)
    if base is None:
        base = reflectance_from(colour or BARE_COLOUR)
    if part.metal:
        return Finish.metal(base, part.roughness or METAL_ROUGHNESS)
    if part.primer:
        return Finish.board(base)
    if part.paint:
        share, spread = FLAKED[part.paint]
        return Finish.flake_paint(base, part.gloss or BARE_GLOSS, share, part.roughness or spread)
    if part.roughness is not None:
        return Finish("plastic", base, part.roughness)
    return Finish.plastic(base, part.gloss or BARE_GLOSS)


def _washed(part: Part, finishes: PartFinishes) -> Washed | None:
    wash = finishes.wash
    if wash is None or part.recess is None or not wash.covers(part):
        return None
    return Washed((wash.strength * part.recess).astype(np.float32), wash.colour)
