"""The opacity of a piece by its material: whether it counts, and what to tell people about it."""

from __future__ import annotations

from typing import Final

from materials.arrays import Vector
from scenes.mesh.opacity_map import OpacityMap

LEAST_SHARE: Final = 1e-3
"""Of a surface's area, under which what is see-through does not count: gaps between the islands of a picture."""
THIN: Final = (
    "a material that is {:.0%} opaque lets the rest of the light straight through: clear = true under "
    "[[subject.parts]] makes it clear plastic, with its shine"
)
UNSEEN: Final = "what its material makes wholly see-through does not show: hide it, or export it opaque"
INVISIBLE: Final = (
    "a material that is wholly see-through (d 0 or Tr 1), as some programs write by mistake, is taken as opaque: "
    "hide its parts if they should not show"
)


def effective(opacity_map: OpacityMap, areas: Vector) -> tuple[OpacityMap | None, tuple[str, ...]]:
    """Return the opacity map of triangles of some areas (m,), None where all of it is opaque, and notes."""
    if not len(areas):
        return None, ()
    see_through, clear = opacity_map.see_through_shares(areas)
    if see_through < LEAST_SHARE:
        return None, ()
    if clear > 1 - LEAST_SHARE:
        return opacity_map, (UNSEEN,)
    factors = opacity_map.corners[..., 2]
    if opacity_map.picture is None and (factors == factors[0, 0]).all():
        return opacity_map, (THIN.format(float(factors[0, 0])),)
    return opacity_map, ()
