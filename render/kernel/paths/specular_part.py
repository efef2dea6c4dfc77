"""The part of a path's light that mirror-like facets of the first surface sent on: what a viewer sees as shine.

Throughput and radiance of a camera's path have one value more than it has wavelengths: of that part, as the mean over
them. Later on a path it is scattered like the rest, by the mean of the tints.
"""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from render.kernel.surfaces.bsdf import DIFFUSER, METAL, Bsdf

from .path_state import PathState


def is_carried(path: PathState) -> bool:
    """Return whether a path carries the value of the specular part: those of a camera do, those of meters do not."""
    return len(path.throughput) > path.wavelengths.count


def with_specular_part(bsdf: Bsdf, path: PathState) -> Bsdf:
    """Return the BSDF at a path's point with tints of the specular part appended.

    At the first scattering they leave out what is Lambertian: boards, and the body of paint but for its flakes. A ray
    that has only gone straight through clear surfaces is still to be scattered first.
    """
    import drjit as dr

    is_first = path.last_scattering.pdf == dr.inf
    primary, secondary = (mean(tint) for tint in (bsdf.primary_tint, bsdf.secondary_tint))
    facets = dr.select(bsdf.kind == METAL, 1.0, bsdf.flakes)
    primary *= dr.select(is_first & ~bsdf.is_clear, facets, 1.0)
    secondary *= dr.select(is_first & (bsdf.kind == DIFFUSER), 0.0, 1.0)
    return replace(bsdf, primary_tint=[*bsdf.primary_tint, primary], secondary_tint=[*bsdf.secondary_tint, secondary])


def mean(values: list[Any]) -> Any:
    """Return the mean of the values at a path's wavelengths."""
    return sum(values) / len(values)
