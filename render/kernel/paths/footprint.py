"""Roughness widened over a path's footprint, so that many paths find what glossy surfaces light, not a lucky few.

A path that was scattered in a direction of low density stands for a broad beam. What a narrow lobe makes of such a beam
is a matter of chance: nearly all paths miss the lamp's image in it, and one that finds it is a bright speck. So facets
that a path meets after its first scattering are rougher by as much as its beam is broad. What the camera sees directly,
and as clear images in gloss, stays sharp. So do clear surfaces: what they let pass is that of a smooth one.

It is the regularization of Kaplanyan and Dachsbacher, "Path Space Regularization for Holistic and Robust Light
Transport", Computer Graphics Forum 32(2), 2013: since the widening shrinks from sample to sample, pictures converge to
the light without it.
"""

from __future__ import annotations

from dataclasses import replace
from typing import Any, Final

from render.kernel.backend import mitsuba
from render.kernel.surfaces.bsdf import Bsdf

from .path_state import PathState

WIDENING: Final = 0.01
"""What a footprint of 1 sr adds to the square of GGX alpha, for the first sample of a pixel."""
WIDEST_ALPHA: Final = 0.32
"""Facets are not widened beyond: the rougher they are, the more light is lost that they pass on among themselves."""
FIRST_SAMPLES: Final = 16
"""After so many samples of a sequence the widening is a quarter of the first."""


def with_footprint(bsdf: Bsdf, path: PathState) -> Bsdf:
    """Return the BSDF at a path's point, its facets widened over the footprint; a camera's ray has none.

    Clear surfaces keep theirs.
    """
    import drjit as dr

    mi = mitsuba()
    share = FIRST_SAMPLES * dr.rcp(FIRST_SAMPLES + mi.Float(path.sampler.index))
    added = WIDENING * dr.square(share) * dr.rcp(path.last_scattering.pdf)
    added = dr.select(bsdf.is_clear, 0.0, added)

    def widened(alpha: Any) -> Any:
        square = dr.square(alpha)
        return dr.sqrt(dr.maximum(square, dr.minimum(square + added, WIDEST_ALPHA**2)))

    return replace(
        bsdf,
        alpha=widened(bsdf.alpha),
        mirror_alpha=widened(mi.Float(bsdf.mirror_alpha)),
        body_alpha=widened(bsdf.body_alpha),
    )
