"""Frames of many shots, batched by geometry, so that one trace serves every lamp of every setup."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence

from render.camera.denoise import load_denoiser
from render.camera.locked_exposure import LockedExposure
from render.frame import Frame, frame_of
from render.hero_light import hero_light
from render.shot import Shot
from render.shot_images import ShotImages, shot_images
from render.shot_light import sum_of_images
from scenes.fingerprint import fingerprint

from .in_threads import in_threads
from .passes.sealing import sealed_bytes
from .tracing import Tracing

BATCH_BYTES = 2**30
"""Memory for the lamp images of a batch of shots."""
FRAMES_BYTES = 3 * 2**29
"""Memory for frames that are taken while the next shots are traced: 20 of 480x640, 3 of 1200x1600, none larger."""
FRAME_BYTES = 256
"""Of a pixel of a frame while it is taken, its lamp images included."""
GROUP = 0
"""Of all lamps: those that are lit together share paths too. Their noise is correlated, and adds up by a third more in
a sum of two, but paths are so much cheaper shared that at equal time every frame has less.
"""
LAMPS_TOGETHER = 8
"""Lamps whose receptors are measured in one go."""


def prepare(shots: Sequence[Shot], tracing: Tracing, passes: int) -> None:
    """Do what comes before the lamp images of shots: load the denoiser, describe the shots, measure their receptors.

    Raises
    ------
    NoDenoiserError
        If the denoiser does not load and is needed; nothing is traced then.
    """
    prepare_denoiser(shots, tracing, passes)
    tracing.descriptions.add(shots)
    measure_receptors(shots, tracing)


def prepare_denoiser(shots: Sequence[Shot], tracing: Tracing, passes: int) -> None:
    """Load the denoiser, unless the light of all shots is stored denoised.

    Raises
    ------
    NoDenoiserError
        If it does not load.
    """
    if not all(tracing.is_denoised(shot.geometry, lamp, passes) for shot in shots for lamp in shot.emitter_shapes):
        load_denoiser()


def take_frames(
    shots: Sequence[Shot], tracing: Tracing, passes: int, tick: Callable[[int], None] = lambda _: None,
    locked: Sequence[LockedExposure] | None = None,
) -> Iterator[tuple[int, Frame]]:  # fmt: skip
    """Yield the index and the frame of every shot, in the order in which they are traced.

    `locked` has the exposure and the white balance of each shot; without it, those metered for the shot are used.
    `tick` is called with the number of lamps after each pass.
    """

    def frame(traced: tuple[int, ShotImages]) -> tuple[int, Frame]:
        i, images = traced
        return i, frame_of(images, locked[i] if locked else None)

    return in_threads(_traced(shots, tracing, passes, tick), frame, _most_frames(shots))


def metered_exposures(
    shots: Sequence[Shot], tracing: Tracing, passes: int, tick: Callable[[int], None] = lambda _: None
) -> list[LockedExposure]:
    """Return the exposure and the white balance metered for each shot; traces all of them."""

    def exposure(traced: tuple[int, ShotImages]) -> tuple[int, LockedExposure]:
        i, images = traced
        return i, sum_of_images(images).metered_exposure

    metered = dict(in_threads(_traced(shots, tracing, passes, tick), exposure, _most_frames(shots)))
    return [metered[i] for i in range(len(shots))]


def _most_frames(shots: Sequence[Shot]) -> int:
    """Return how many frames are taken while the next shots are traced."""
    cameras = [shot.geometry.camera for shot in shots]
    return min((FRAMES_BYTES // (FRAME_BYTES * camera.width * camera.height) for camera in cameras), default=0)


def _traced(
    shots: Sequence[Shot], tracing: Tracing, passes: int, tick: Callable[[int], None]
) -> Iterator[tuple[int, ShotImages]]:
    """Yield the index and the images of every shot once they are traced.

    Raises
    ------
    NoDenoiserError
        Before anything is traced.
    """
    prepare(shots, tracing, passes)
    for batch in _batches(shots):
        wanted = [shots[i] for i in batch]
        for shot in wanted:
            hero_light(shot, tracing)  # now: what it traces with the model shares its mesh with the lamp images
        lamps = [lamp for shot in wanted for lamp in shot.emitter_shapes]
        tracing.trace(wanted[0].geometry, dict.fromkeys(lamps, GROUP), passes, tick)
        for i in batch:
            yield i, shot_images(shots[i], tracing, passes)


def measure_receptors(shots: Sequence[Shot], tracing: Tracing) -> None:
    """Measure the receptors of all shots that are not stored, one bare table after the other.

    On each, shots are measured together as long as their lamps share paths: in all, the work grows as the receptors.
    """
    for together in _receptor_batches(shots):
        lamps = {lamp: None for shot in together for lamp in shot.emitter_shapes}
        receptors = {fingerprint(meter): meter for shot in together for meter in shot.receptors}
        tracing.small.irradiance(together[0].bare_geometry, list(lamps), list(receptors.values()))


def _receptor_batches(shots: Sequence[Shot]) -> Iterator[list[Shot]]:
    """Yield shots of one bare table whose lamps are as many as share paths; the receptors of each setup once."""
    by_table: dict[str, dict[str, Shot]] = {}
    for shot in shots:
        depicted = fingerprint((shot.receptors, shot.emitter_shapes))
        by_table.setdefault(shot.bare_geometry.fingerprint, {}).setdefault(depicted, shot)
    for measured in by_table.values():
        batch: list[Shot] = []
        for shot in measured.values():
            if batch and len({lamp for other in (*batch, shot) for lamp in other.emitter_shapes}) > LAMPS_TOGETHER:
                yield batch
                batch = []
            batch.append(shot)
        yield batch


def _batches(shots: Sequence[Shot]) -> Iterator[list[int]]:
    """Yield the indices of shots of one geometry, as many as memory holds the lamp images of."""
    by_geometry: dict[str, list[int]] = {}
    for i, shot in enumerate(shots):
        by_geometry.setdefault(shot.geometry.fingerprint, []).append(i)
    for indices in by_geometry.values():
        limit = BATCH_BYTES // sealed_bytes(shots[indices[0]].geometry.camera)
        batch: list[int] = []
        for i in indices:
            if batch and len({lamp for j in (*batch, i) for lamp in shots[j].emitter_shapes}) > limit:
                yield batch
                batch = []
            batch.append(i)
        yield batch
