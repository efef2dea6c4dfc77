"""The work list: many shots, geometry by geometry, so that one trace serves every lamp of every setup."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence

from render.camera.denoise import load_denoiser
from render.camera.locked_exposure import LockedExposure
from render.frame import Frame, take_frame
from render.shot import Shot, shot_light
from scenes.fingerprint import fingerprint
from scenes.lamps.emitter_shape import EmitterShape

from .tracing import Tracing, lamp_image_bytes

PASSES = {"draft": 2, "fine": 16, "overnight": 128}
"""By quality. A pass is 16 samples a pixel, 8 where there is only backdrop."""

HELD_BYTES = 2**31  # of lamp images, until the frames that want them are taken


def passes_to_trace(shots: Sequence[Shot], tracing: Tracing, passes: int) -> int:
    """Return how many passes the store lacks for all shots together; a lamp shared by two counts once."""
    wanted = {(s.geometry.fingerprint, lamp): s.geometry for s in shots for lamp in s.emitter_shapes}
    stored = [tracing.passes_stored(geometry, lamp) for (_, lamp), geometry in wanted.items()]
    return sum(max(0, passes - (found[0] if found else 0)) for found in stored)


def take_frames(
    shots: Sequence[Shot], tracing: Tracing, passes: int, tick: Callable[[int], None] = lambda _: None,
    locked: Sequence[LockedExposure] | None = None,
) -> Iterator[tuple[int, Frame]]:  # fmt: skip
    """Yield (index, frame) of every shot; those of one geometry are traced together, then taken.

    `locked` are the exposure and the white balance of each; without them each shot takes its own.
    """
    for i in _traced(shots, tracing, passes, tick):
        yield i, take_frame(shots[i], tracing, passes, locked[i] if locked else None)


def metered_exposures(
    shots: Sequence[Shot], tracing: Tracing, passes: int, tick: Callable[[int], None] = lambda _: None
) -> list[LockedExposure]:
    """Return the exposure and the white balance that each shot would take_frame by itself; traces all of them."""
    metered = {i: shot_light(shots[i], tracing, passes).metered_exposure for i in _traced(shots, tracing, passes, tick)}
    return [metered[i] for i in range(len(shots))]


def _traced(shots: Sequence[Shot], tracing: Tracing, passes: int, tick: Callable[[int], None]) -> Iterator[int]:
    """Yield the index of every shot once the images of its geometry are there.

    Raises
    ------
    NoDenoiserError
        Before anything is traced, since no frame can be taken.
    """
    load_denoiser()
    for batch in _batches(shots):
        wanted = [shots[i] for i in batch]
        geometry = wanted[0].geometry
        groups = group_lamps(wanted, _known_groups(wanted, tracing))
        for meter in {fingerprint(m): m for m in (shot.hero_meter for shot in wanted)}.values():
            tracing.irradiance(geometry, list(groups), (meter,))
        tracing.trace(geometry, groups, passes, tick)
        yield from batch


def group_lamps(shots: Sequence[Shot], known: dict[EmitterShape, int]) -> dict[EmitterShape, int]:
    """Return each lamp's group: those lit together go apart, as far as what is `known` allows.

    Lamps of a group are traced by the same paths and share their noise, which would add up in a mix of them.
    """
    groups = dict(known)
    for shot in shots:
        for lamp in shot.emitter_shapes:
            beside = {other for s in shots if lamp in s.emitter_shapes for other in s.emitter_shapes if other != lamp}
            taken = {groups[other] for other in beside if other in groups}
            groups.setdefault(lamp, next(group for group in range(len(taken) + 1) if group not in taken))
    return groups


def _batches(shots: Sequence[Shot]) -> Iterator[list[int]]:
    """Yield the indices of shots of one geometry, no more at once than memory holds the images of."""
    by_geometry: dict[str, list[int]] = {}
    for i, shot in enumerate(shots):
        by_geometry.setdefault(shot.geometry.fingerprint, []).append(i)
    for alike in by_geometry.values():
        most = HELD_BYTES // lamp_image_bytes(shots[alike[0]].geometry)
        batch: list[int] = []
        for i in alike:
            if batch and len({lamp for j in (*batch, i) for lamp in shots[j].emitter_shapes}) > most:
                yield batch
                batch = []
            batch.append(i)
        yield batch


def _known_groups(shots: Sequence[Shot], tracing: Tracing) -> dict[EmitterShape, int]:
    lamps = {lamp: shot.geometry for shot in shots for lamp in shot.emitter_shapes}
    stored = {lamp: tracing.passes_stored(geometry, lamp) for lamp, geometry in lamps.items()}
    return {lamp: found[1] for lamp, found in stored.items() if found}
