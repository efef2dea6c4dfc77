"""The part of a path's light that was scattered at least twice: what a lamp lights by way of other surfaces.

Radiance of a camera's path has one value more than its throughput: of that part, as the mean over wavelengths. Light
that goes straight through holes and clear surfaces is not scattered there.
"""

from __future__ import annotations

from typing import Any

from . import specular_part
from .path_state import PathState


def with_indirect_part(values: list[Any], path: PathState, scatterings: Any) -> list[Any]:
    """Return what light is multiplied by on its way to the camera, with the value of the indirect part appended.

    Parameters
    ----------
    values
        By wavelength and of the specular part; of a path that does not carry that, they are returned as they are.
    scatterings
        Of the light on that way.
    """
    import drjit as dr

    if not specular_part.is_carried(path):
        return values
    return [*values, dr.select(scatterings >= 2, specular_part.mean(values[: path.wavelengths.count]), 0.0)]
