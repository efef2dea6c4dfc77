"""Which pixels show which kind of material, and which are mixed: on edges, where two surfaces share a pixel."""

from __future__ import annotations

from dataclasses import replace
from typing import Final

import numpy as np

from materials.arrays import Mask
from materials.surface.finish import Finish
from materials.surface.glossmeter import roughness_from_gloss
from render.description.scene import Geometry, Surface
from render.kernel.trace import Tracer

MATT, GLOSSY, METAL, GLASS, BACKDROP, CARD = "matt paint", "gloss or coated", "metal", "glass", "backdrop", "cards"
EDGES, SPACE = "edges", "empty space"
LEVELS: Final = {MATT: 0.93, GLOSSY: 0.71, METAL: 0.53, GLASS: 0.37, BACKDROP: 0.23, CARD: 0.11}
"""Albedo of each kind as it is told here; no mixture of two of them over the samples of a pixel looks like a third."""
MATT_GU: Final = 10.0
"""Gloss units under which paint is matt (EN 13300)."""


def material_of(surface: Surface) -> str:
    """Return the kind of material of a surface."""
    finish = surface.finish
    if surface.kind != "subject":
        return BACKDROP if surface.kind == "backdrop" else CARD
    if finish.kind in {"metal", "clear"}:
        return METAL if finish.kind == "metal" else GLASS
    is_matt = finish.kind != "plastic" or finish.roughness > roughness_from_gloss(MATT_GU)
    return MATT if is_matt else GLOSSY


def material_masks(geometry: Geometry) -> dict[str, Mask]:
    """Return the pixels (height, width) of each kind of material that is seen, each pixel in one mask."""
    boards = [
        replace(s, finish=Finish.board(LEVELS[material_of(s)]), colour_map=None, wash=None, opacity_map=None)
        for s in geometry.surfaces
    ]
    features = Tracer(Geometry(tuple(boards), geometry.camera)).features
    masks = {name: np.abs(features.albedo[..., 1] - level) < 1e-3 for name, level in LEVELS.items()}
    masks[SPACE] = (features.albedo == 0).all(axis=-1)
    masks[EDGES] = ~np.logical_or.reduce(list(masks.values()))
    return {name: mask for name, mask in masks.items() if mask.any()}
