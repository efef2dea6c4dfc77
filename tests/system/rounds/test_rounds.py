"""Rounds do the same whatever stopped them, and by whichever run they are planned and done."""

from __future__ import annotations

import itertools
from collections.abc import Callable, Sequence
from pathlib import Path

import pytest

from gallery.frames.shots import shots_of
from gallery.inputs import open_input
from render.allocation import rounds
from render.allocation.rounds import Rounds
from render.allocation.schedule import UNIFORM
from render.allocation.work import Work, carry_out
from render.description.scene import Geometry
from render.images.jobs import GROUP
from render.images.noise import Noise
from render.images.store.noise_entries import NoiseEntries
from render.images.store.store import Store
from render.images.tracing import Tracing
from render.shot import Shot
from scenes.lamps.emitter_shape import EmitterShape

pytestmark = pytest.mark.slow

SIZE = (36, 48)
SETUPS = ("rim-fill", "loop")
ROUNDS = 6


@pytest.fixture(scope="module")
def shots() -> Sequence[Shot]:
    return shots_of(open_input(Path("stand-in:spoon"), {}), SETUPS, (), SIZE)


def work_on(shots: Sequence[Shot], folder: Path, number: int, tick: Callable[[float], None] = lambda _: None) -> Rounds:
    """Go on with the rounds of a sheet to so many, with a store in a folder, as a run does."""
    tracing = Tracing(Store(folder))
    run = Rounds(shots, tracing)
    while run.number < number:
        for piece in run.next_work():
            carry_out(piece, tracing, tick)
        run.complete()
    return run


def files(folder: Path) -> dict[str, bytes]:
    return {path.name: path.read_bytes() for path in folder.iterdir()}


@pytest.fixture(scope="module")
def whole(shots: Sequence[Shot], tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Return the store of a run that was not stopped."""
    folder = tmp_path_factory.mktemp("whole")
    work_on(shots, folder, ROUNDS)
    return folder


def test_a_run_that_is_stopped_often_writes_what_one_does_that_is_not(
    shots: Sequence[Shot], whole: Path, tmp_path: Path
) -> None:
    stops = 0
    while True:
        ticks = 0

        def stop_soon(_: float) -> None:
            nonlocal ticks
            ticks += 1
            if ticks > 6:
                raise KeyboardInterrupt

        try:
            work_on(shots, tmp_path, ROUNDS, stop_soon)
            break
        except KeyboardInterrupt:
            stops += 1
    assert stops > 5
    assert files(tmp_path) == files(whole)


@pytest.mark.parametrize("measured", range(3))
def test_a_run_that_is_stopped_while_noise_is_measured_writes_what_one_does_that_is_not(
    measured: int, shots: Sequence[Shot], whole: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    saved, save = itertools.count(), NoiseEntries.save_noise

    def save_few(entries: NoiseEntries, geometry: Geometry, lamp: EmitterShape, noise: Noise) -> None:
        if next(saved) == measured:
            raise KeyboardInterrupt
        save(entries, geometry, lamp, noise)

    with monkeypatch.context() as patch:
        patch.setattr(NoiseEntries, "save_noise", save_few)
        with pytest.raises(KeyboardInterrupt):
            work_on(shots, tmp_path, ROUNDS)
    work_on(shots, tmp_path, ROUNDS)
    assert files(tmp_path) == files(whole)


def test_noise_is_measured_at_each_doubling_that_work_passes(shots: Sequence[Shot], tmp_path: Path) -> None:
    tracing, shot = Tracing(Store(tmp_path)), shots[1]
    carry_out(Work(shot.geometry, shot.emitter_shapes, 24, 1.0), tracing)
    noises = [tracing.noise(shot.geometry, lamp, 24) for lamp in shot.emitter_shapes]
    assert [noise.passes for noise in noises if noise] == [16] * len(shot.emitter_shapes)


def test_another_run_goes_on_where_the_last_one_was(shots: Sequence[Shot], whole: Path) -> None:
    tracing = Tracing(Store(whole))
    run = Rounds(shots, tracing)
    assert run.number == ROUNDS
    work_on(shots, whole, ROUNDS)
    assert not tracing.statistics.traced


def test_the_grain_after_a_round_is_the_same_while_another_run_is_at_the_next_one(
    shots: Sequence[Shot], tmp_path: Path
) -> None:
    run = work_on(shots, tmp_path, len(UNIFORM))
    after_round = run.grains()
    for piece in run.next_work():
        carry_out(piece, Tracing(Store(tmp_path)))
        assert run.grains() == after_round
    run.complete()
    assert run.grains() != after_round


def test_a_plan_that_is_stored_is_kept_to(shots: Sequence[Shot], tmp_path: Path) -> None:
    first = work_on(shots, tmp_path, len(UNIFORM))
    planned = [(piece.key, piece.cost) for piece in first.next_work()]
    assert planned
    assert [(piece.key, piece.cost) for piece in Rounds(shots, Tracing(Store(tmp_path))).next_work()] == planned


def test_images_that_another_sheet_has_brought_on_are_taken_as_they_are(shots: Sequence[Shot], tmp_path: Path) -> None:
    work_on(shots[:1], tmp_path, len(UNIFORM) + 1)
    both = Rounds(shots, Tracing(Store(tmp_path)))
    missing = {lamp for piece in both.next_work() for lamp in piece.lamps}
    assert missing == set(shots[1].emitter_shapes) - set(shots[0].emitter_shapes)


def test_noise_that_a_run_on_another_sheet_has_left_unmeasured_is_measured(
    shots: Sequence[Shot], tmp_path: Path
) -> None:
    run = work_on(shots, tmp_path, len(UNIFORM))
    before, shot = run.grains(), shots[0]
    Tracing(Store(tmp_path)).trace(shot.geometry, dict.fromkeys(shot.emitter_shapes, GROUP), 16)
    after = Rounds(shots, Tracing(Store(tmp_path))).grains()
    assert 0 < (after[0] or 0) < (before[0] or 0)
    assert after[1] == before[1]


def test_the_noise_of_a_frame_is_computed_once_for_the_passes_that_its_images_have(
    shots: Sequence[Shot], tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    run = work_on(shots, tmp_path, len(UNIFORM))
    grains = run.grains()
    with monkeypatch.context() as patch:
        patch.setattr(rounds, "frame_noise", lambda *_: pytest.fail("it is computed again"))
        assert run.grains() == grains
        run.next_work()


def test_grain_is_measured_from_eight_passes_on_and_falls(shots: Sequence[Shot], tmp_path: Path) -> None:
    early = [work_on(shots, tmp_path, number).grains() for number in (1, 2)]
    assert early == [[None, None]] * 2
    grains = [[grain for grain in work_on(shots, tmp_path, number).grains() if grain] for number in (3, 9)]
    assert [len(each) for each in grains] == [2, 2]
    assert max(grains[1]) < 0.85 * max(grains[0])
