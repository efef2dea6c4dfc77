"""What a part looks like: its finish, the file's own paint, a wash in its recesses, and the topcoat over all."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from materials.colour.notation import reflectance_from
from materials.light.spectra import Spectrum
from materials.surface.finish import Finish
from materials.surface.metals import metal_reflectance
from scenes.arrangement.subject_model import PartFinish, SubjectModel
from scenes.mesh.paint import Paint
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
class Look:
    """The finish of a part, with the paint that stands in for its base and the wash over it, where there are any."""

    finish: Finish
    paint: Paint | None = None
    washed: Washed | None = None


def look_of(part: Part, subject: SubjectModel) -> Look:
    """Return the look of a part: the last of `subject.parts` that matches says, then the topcoat covers it."""
    said = next((said for said in reversed(subject.parts) if part.answers(said.match)), PartFinish())
    is_coated = subject.topcoat is not None and not any(map(part.answers, subject.mask))
    if part.name == PLINTH and subject.plinth is not None:
        return Look(Finish.plastic(reflectance_from(subject.plinth.base), subject.plinth.gloss))
    finish = _finish(said, part.colour, subject.topcoat if is_coated else None)
    paint = part.paint if said.base is None and not (said.metal or said.clear) else None
    return Look(finish, paint, _washed(part, subject))


@lru_cache(maxsize=1024)
def _finish(said: PartFinish, colour: str | None, topcoat: float | None) -> Finish:
    if topcoat is None:
        return _uncoated(said, colour, AIR_INDEX)
    return _uncoated(said, colour, COAT_INDEX).under_topcoat(topcoat)


def _uncoated(said: PartFinish, colour: str | None, index_outside: float) -> Finish:
    """Return the finish below any topcoat; a metal by its name reflects less into a coat than into air."""
    if said.clear:
        clear = Finish.clear(reflectance_from(said.base or CLEAR_COLOUR))
        return clear.under_topcoat(said.gloss) if said.gloss else clear
    named = metal_reflectance(said.metal, index_outside) if isinstance(said.metal, str) and said.base is None else None
    base = reflectance_from(said.base or colour or BARE_COLOUR) if named is None else named
    if said.metal:
        return Finish.metal(base, said.roughness or METAL_ROUGHNESS)
    if said.surface == "bare":
        return Finish.board(base)
    if said.paint:
        share, spread = FLAKED[said.paint]
        return Finish.flake_paint(base, said.gloss or BARE_GLOSS, share, said.roughness or spread)
    if said.roughness is not None:
        return Finish("plastic", base, said.roughness)
    return Finish.plastic(base, said.gloss or BARE_GLOSS)


def _washed(part: Part, subject: SubjectModel) -> Washed | None:
    wash = subject.wash
    if wash is None or part.recess is None or not any(map(part.answers, wash.match)):
        return None
    return Washed((wash.strength * part.recess).astype(np.float32), reflectance_from(wash.colour))
