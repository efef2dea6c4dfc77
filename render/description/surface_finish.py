"""The optical surface of a part: its finish, the colour map of its mesh, a wash in its recesses, the topcoat."""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from materials.colour.notation import reflectance_from
from materials.surface.conductor import NO_DIP
from materials.surface.finish import COAT_INDEX, Finish
from materials.surface.fresnel import internal_hemispherical_fresnel
from materials.surface.metals import metal_dip, metal_reflectance
from scenes.mesh.colour_map import ColourMap
from scenes.mesh.opacity_map import OpacityMap
from scenes.subject.part_finishes import PartFinishes, PartRule
from scenes.subject.subject import PLINTH, Part

BARE_COLOUR = "#8c8c8c"  # unpainted grey plastic
BARE_GLOSS = 27.0  # gloss units; satin, as of moulded plastic and most paints
STYRENE_TRANSMITTANCE, STYRENE_INDEX = 0.89, 1.59
"""Of a pane of clear polystyrene: .88 to .90 with the reflection of both surfaces by ASTM D1003, and n of the sodium
line; data sheets, from memory.
"""
METAL_ROUGHNESS = 0.2
AIR_INDEX = 1.0
FLAKED = {"metallic": (0.8, 0.35), "candy": (0.9, 0.25), "pearl": (0.3, 0.3)}
"""Flake fraction of the paint's body, and roughness of the flakes; common practice, no source."""


@dataclass(frozen=True, eq=False)
class WashLayer:
    """The wash on a surface: coverage at each corner of its triangles, (m, 3) from 0 to 1, and its own finish."""

    coverage: NDArray[np.float32]
    finish: Finish


@dataclass(frozen=True, eq=False)
class SurfaceFinish:
    """The finish of a part; `colour_map` replaces the base colour of the finish, `wash` covers either.

    `opacity_map` says where light passes through all of it.

    A coat that wets the base wets the colour map too, which says so itself: the base of the finish is wetted already.
    """

    finish: Finish
    colour_map: ColourMap | None = None
    wash: WashLayer | None = None
    opacity_map: OpacityMap | None = None


def surface_finish(part: Part, finishes: PartFinishes) -> SurfaceFinish:
    """Return the finish, colour map and wash of a part, as declared for its subject."""
    if part.name == PLINTH and finishes.plinth is not None:
        return SurfaceFinish(finishes.plinth)
    rule, topcoat = finishes.rule_of(part), finishes.topcoat_of(part)
    declared, colour_map = rule.declared, part.colour_map
    if declared.base is not None or isinstance(declared.metal, str) or declared.clear:
        colour_map = None
    colour = part.colour if colour_map is None else colour_map.mean_colour
    if colour_map is not None and topcoat is not None and _uncoated(rule, colour, COAT_INDEX).kind == "matt":
        colour_map = replace(colour_map, internal_reflectance=internal_hemispherical_fresnel(COAT_INDEX))
    return SurfaceFinish(
        _finish(rule, colour, topcoat), colour_map, _wash_layer(part, finishes), _opacity_map(part, declared.clear)
    )


@lru_cache(maxsize=1024)
def _finish(rule: PartRule, colour: str | None, topcoat: float | None) -> Finish:
    if topcoat is None:
        return _uncoated(rule, colour, AIR_INDEX)
    return _uncoated(rule, colour, COAT_INDEX).under_topcoat(topcoat)


def _uncoated(rule: PartRule, colour: str | None, index_outside: float) -> Finish:
    """Return the finish below any topcoat.

    `index_outside` is the refractive index above it: a named metal reflects less into a coat than into air.
    """
    part, base = rule.declared, rule.base
    if part.clear:
        clear = Finish.clear(STYRENE_TRANSMITTANCE if base is None else base, STYRENE_INDEX)
        return clear.under_topcoat(part.gloss) if part.gloss else clear
    dip = NO_DIP
    if base is None and isinstance(part.metal, str):
        base, dip = metal_reflectance(part.metal, index_outside), metal_dip(part.metal)
    if base is None:
        base = reflectance_from(colour or BARE_COLOUR)
    if part.metal:
        return Finish.metal(base, part.roughness or METAL_ROUGHNESS, dip)
    if part.primer:
        return Finish.board(base)
    if part.paint:
        share, spread = FLAKED[part.paint]
        return Finish.flake_paint(base, part.gloss or BARE_GLOSS, share, part.roughness or spread)
    if part.roughness is not None:
        return Finish("plastic", base, part.roughness)
    return Finish.plastic(base, part.gloss or BARE_GLOSS)


def _opacity_map(part: Part, clear: bool) -> OpacityMap | None:
    """Return the opacity map of a part; of one declared clear only a cut-out: its finish says what it passes."""
    opacity = part.opacity_map
    return None if opacity is None or (clear and opacity.cutoff is None) else opacity


def _wash_layer(part: Part, finishes: PartFinishes) -> WashLayer | None:
    """Return the wash on a part: a film of matt paint over its finish, under any topcoat. Clear parts have none."""
    wash, topcoat = finishes.wash, finishes.topcoat_of(part)
    is_clear = finishes.rule_of(part).declared.clear
    if wash is None or part.recess is None or is_clear or not wash.covers(part):
        return None
    film = Finish.board(wash.colour) if topcoat is None else Finish.board(wash.colour).under_topcoat(topcoat)
    return WashLayer((wash.strength * part.recess).astype(np.float32), film)
