"""What the topcoat does to the parts under it that a builder may not expect."""

from __future__ import annotations

from typing import Final

import numpy as np

from materials.light.spectra import luminance_factor
from materials.surface.saunderson import coated_reflectance
from render.description.surface_finish import surface_finish
from scenes.subject.part_finishes import PartFinishes
from scenes.subject.subject import Part, Subject
from scenes.text import listed
from scenes.units import stops

MATT_GLOSS: Final = 10.0
"""Gloss units up to which a paint may be unbound: those of matt and flat on labels."""
BLACKEST: Final = 1e-4
"""Luminance factor, so that black has a ratio."""


def topcoat_warnings(finishes: PartFinishes, subject: Subject) -> list[str]:
    """Return a warning for each clear part under the topcoat, and one for the matt paint that it might wet."""
    coated = [part for part in subject.parts if finishes.topcoat_of(part) is not None]
    clear = sorted({part.name for part in coated if finishes.rule_of(part).declared.clear})
    fogged = [f"'{name}' is clear and under the topcoat, which fogs it: put it in no_topcoat" for name in clear]
    return [*fogged, *_maybe_unbound(finishes, [part for part in coated if _is_matt(finishes, part)])]


def _is_matt(finishes: PartFinishes, part: Part) -> bool:
    """Return whether a part is paint that is declared matt and not as primer."""
    declared = finishes.rule_of(part).declared
    is_paint = not (declared.metal or declared.clear or declared.paint)
    return is_paint and declared.gloss is not None and declared.gloss <= MATT_GLOSS


def _maybe_unbound(finishes: PartFinishes, matt: list[Part]) -> list[str]:
    if not matt:
        return []
    bases = (surface_finish(part, finishes).finish.base for part in matt)
    luminances = np.maximum([luminance_factor(base) for base in bases], BLACKEST)
    darker = stops(float((luminances / coated_reflectance(luminances)).max()))
    names = listed(sorted({f"'{part.name}'" for part in matt}), 3)
    return [
        f"{names}: matt, its colour kept under the topcoat; paint that a drop of water darkens, such as primer, would "
        f"come out {darker:.1f} stops darker: primer = true in place of gloss"
    ]
