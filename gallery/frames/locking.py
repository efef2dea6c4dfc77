"""Exposures and white balances locked for frames that are to be compared."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace

from render.camera.locked_exposure import LockedExposure, shortest_exposure
from render.shot import Shot

from .exposure_scope import ExposureScope


def lock_exposures(
    scope: ExposureScope, shots: Sequence[Shot], metered: Sequence[LockedExposure]
) -> list[LockedExposure]:
    """Return what each shot is developed with, of what was metered for each.

    The exposure is the shortest of those metered within the scope. The white balance is the same in all finishes of a
    setup, that of the first, unless every frame has its own exposure.
    """
    if scope is ExposureScope.frame:
        return list(metered)
    setups = [shot.setup.name for shot in shots]
    whites = _by_group(setups, metered)
    compared = _by_group(setups if scope is ExposureScope.setup else [""] * len(shots), metered)
    return [
        replace(_with_settings_of(own, shortest_exposure(alike)), white=of_setup[0].white)
        for own, alike, of_setup in zip(metered, compared, whites, strict=True)
    ]


def shares_exposures(scope: ExposureScope, shots: Iterable[Shot]) -> bool:
    """Return whether two frames at least share an exposure."""
    setups = [shot.setup.name for shot in shots]
    if scope is ExposureScope.setup:
        return len(set(setups)) < len(setups)
    return scope is ExposureScope.sheet and len(setups) > 1


def _with_settings_of(own: LockedExposure, locked: LockedExposure) -> LockedExposure:
    """Return the locked exposure, focused as for the shot's own."""
    return replace(locked, exposure=replace(locked.exposure, magnification=own.exposure.magnification))


def _by_group(groups: Sequence[str], metered: Sequence[LockedExposure]) -> list[list[LockedExposure]]:
    """Return for each shot what was metered for all the shots of its group."""
    found: dict[str, list[LockedExposure]] = {}
    for group, each in zip(groups, metered, strict=True):
        found.setdefault(group, []).append(each)
    return [found[group] for group in groups]
