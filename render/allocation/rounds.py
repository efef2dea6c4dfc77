"""The rounds of a sheet: what the next one does, and the grain that the frames have by now."""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

from render.description.scene import Geometry
from render.hero_light import hero_light
from render.images.noise import Noise
from render.images.passes.rungs import next_rung
from render.images.store.image_entries import image_key
from render.images.store.round_entries import RoundEntries
from render.images.tracing import Tracing
from render.shot import Shot
from scenes.fingerprint import fingerprint
from scenes.lamps.emitter_shape import EmitterShape

from .allotment import FrameShares, ImageState, allot, spent
from .frame_noise import FrameNoise, frame_noise
from .outlook import cost_at_grain
from .schedule import GROWTH, UNIFORM
from .work import Work, most_together, pass_costs, planned_work


class NamedImage(NamedTuple):
    """A lamp image by what it depicts."""

    geometry: Geometry
    lamp: EmitterShape


class Rounds:
    """The rounds of a sheet: the first ones give all its lamp images as many passes, the later ones allot theirs.

    What a round does follows from the sums that are stored when it begins, and is stored itself before it begins: a run
    that was stopped, and others that share the store, complete the same round.

    Parameters
    ----------
    shots
        Those of its frames.
    """

    def __init__(self, shots: Sequence[Shot], tracing: Tracing) -> None:
        named = {image_key(s.geometry, lamp): NamedImage(s.geometry, lamp) for s in shots for lamp in s.emitter_shapes}
        self._shots = shots
        self._tracing = tracing
        self._images = list(named.values())
        self._numbers = {key: number for number, key in enumerate(named)}
        depicted = fingerprint((*(shot.fingerprint for shot in shots), *named))
        self._entries = RoundEntries(tracing.store, depicted, len(named))
        self._known_noises: dict[tuple[str, tuple[int, ...]], FrameNoise] = {}
        self.number = 0
        """Of rounds that are complete."""
        while (planned := self._stored_plan(self.number)) is not None and not self._missing(planned):
            self.number += 1

    def next_work(self) -> list[Work]:
        """Return what is missing of the next round, a geometry after the other; it is planned where it was not yet."""
        planned = self._stored_plan(self.number) or self._entries.load_or_plan(self.number, self._allotted)
        return self._missing(planned)

    def complete(self) -> None:
        """Go on to the next round: all of `next_work` is in the store."""
        self.number += 1

    def grains(self) -> list[float | None]:
        """Return the grain of each frame as shown, .01 is 1 %; None where its noise was not measured."""
        return [noise.grain if noise else None for noise in self._frame_noises(self._passes_by_rounds)]

    def cost_at(self, grain: float) -> float | None:
        """Return about what all passes will have cost once no frame has more grain; None before noise is measured."""
        noises = [noise for noise in self._frame_noises(self.passes) if noise is not None]
        if len(noises) < len(self._shots):
            return None
        return cost_at_grain(self._states, [noise.grain for noise in noises], self._shares(noises), grain)

    def _stored_plan(self, number: int) -> list[int] | None:
        """Return the passes of each image after a round, counted from 0; None where no run has planned it."""
        if number < len(UNIFORM):
            return [UNIFORM[number]] * len(self._images)
        return self._entries.load(number)

    def _allotted(self) -> list[int]:
        """Return the passes of each image after the next round, as its noise asks for."""
        shares = self._shares(self._frame_noises(self.passes))
        measured = {number for frame in shares for number in frame}
        planned = allot(self._states, shares, GROWTH * self.spent)
        return [next_rung(now) if number not in measured else planned[number] for number, now in enumerate(self.passes)]

    def _shares(self, noises: Sequence[FrameNoise | None]) -> list[FrameShares]:
        """Return how much each image brings to the grain of each frame whose noise is measured."""
        return [
            dict(zip(self._numbers_of(shot), noise.shares, strict=True))
            for shot, noise in zip(self._shots, noises, strict=True)
            if noise is not None
        ]

    def _missing(self, planned: Sequence[int]) -> list[Work]:
        """Return the work that brings each image to its planned passes, and measures the noise that it has there."""
        together: dict[tuple[str, int], list[tuple[NamedImage, int]]] = {}
        for image, wanted, now in zip(self._images, planned, self.passes, strict=True):
            if now < wanted or (now == wanted and self._tracing.lacks_noise(*image)):
                together.setdefault((image.geometry.fingerprint, wanted), []).append((image, now))
        most = most_together()
        return [
            planned_work(images[0][0].geometry, {image.lamp: now for image, now in images[i : i + most]}, wanted)
            for (_, wanted), images in together.items()
            for i in range(0, len(images), most)
        ]

    def _frame_noises(self, passes: Sequence[int]) -> list[FrameNoise | None]:
        """Return the noise of each frame by the passes of all images; None where that of an image is not measured."""
        return [self._frame_noise(shot, passes) for shot in self._shots]

    def _frame_noise(self, shot: Shot, passes: Sequence[int]) -> FrameNoise | None:
        """Return the noise of a frame, computed once for each number of passes: a round brings on few of its images."""
        numbers = self._numbers_of(shot)
        key = (shot.fingerprint, tuple(passes[number] for number in numbers))
        if key not in self._known_noises:
            noises = [noise for number in numbers if (noise := self._noise(number, passes[number])) is not None]
            if len(noises) < len(numbers):
                return None
            self._known_noises[key] = frame_noise(hero_light(shot, self._tracing), noises, key[1])
        return self._known_noises[key]

    def _noise(self, number: int, passes: int) -> Noise | None:
        """Return the noise of an image of so many passes, measured now if a run that went further was stopped first."""
        image = self._images[number]
        noise = self._tracing.noise(*image, passes)
        if noise is None:
            self._tracing.measure_noise(*image)
            noise = self._tracing.noise(*image, passes)
        return noise

    @property
    def passes(self) -> list[int]:
        """Passes of each finished image by now."""
        return [self._tracing.sealed_passes(*image) for image in self._images]

    @property
    def _passes_by_rounds(self) -> list[int]:
        """Passes of each finished image after the rounds that are complete.

        Another run may have brought images on in the next round already. Whether the goal is reached has to be the same
        for both.
        """
        passes = self.passes  # before the next plan is looked for: without one they are those of this round
        if self.number < len(UNIFORM) or self._stored_plan(self.number) is None:
            return passes
        planned = self._stored_plan(self.number - 1) or passes
        return [min(now, then) for now, then in zip(passes, planned, strict=True)]

    @property
    def spent(self) -> float:
        """The cost of all passes by now, in the unit of that of work."""
        return spent(self._states)

    @property
    def _states(self) -> list[ImageState]:
        """How far each image is."""
        geometries = list(dict.fromkeys(image.geometry.fingerprint for image in self._images))
        return [
            ImageState(geometries.index(image.geometry.fingerprint), now, *pass_costs(image.geometry))
            for image, now in zip(self._images, self.passes, strict=True)
        ]

    def _numbers_of(self, shot: Shot) -> list[int]:
        return [self._numbers[image_key(shot.geometry, lamp)] for lamp in shot.emitter_shapes]
