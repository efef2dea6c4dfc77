"""From what the person named to frames taken: setups times finishes, with progress on stderr."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace
from functools import partial

from rich.console import Console
from rich.markup import escape
from rich.progress import BarColumn, MofNCompleteColumn, Progress, TextColumn, TimeRemainingColumn

from gallery.sheet.close_up import closer
from materials.surface.named_finishes import named_finishes
from render.camera.locked_exposure import Held, least
from render.description.scene import describe, refinished
from render.frame import Frame, Shot
from render.images.jobs import PASSES, passes_to_trace, take_all, wanted_by_all
from render.images.tracing import Tracing
from scenes.arrangement.reading import fill_model
from scenes.arrangement.subject_model import SubjectModel
from scenes.errors import InputError, nearest
from scenes.setups.placed import AS_PLACED, PlacedSetup
from scenes.setups.setup import SHEET_ORDER
from scenes.text import printable

from .inputs import Opened

AS_BUILT = "as-built"
DEFAULT_HEIGHT_PX, DEFAULT_WIDTH_PX = 640, 480


def shots_of(
    opened: Opened, setups: Sequence[str], finishes: Sequence[str], size: tuple[int, int] | None,
    detail: str | None = None,
) -> list[Shot]:  # fmt: skip
    """Return the shots of every setup in every finish, setups first; none named means the default sheet's."""
    names = list(setups) or default_setups(opened)
    aspect = size[0] / size[1] if size else None
    placed = [opened.place(name, aspect) for name in names]
    coats = [(finish, _finished(opened, finish)) for finish in finishes or (AS_BUILT,)]
    shots = []
    for setup in placed:
        first = shot_of(opened, setup, coats[0][0], size, detail)
        for finish, subject in coats:
            geometry = refinished(first.geometry, first.setup, subject)
            shots.append(replace(first, finish=finish, geometry=geometry))
    return shots


def shot_of(opened: Opened, setup: PlacedSetup, finish: str, size: tuple[int, int] | None, detail: str | None) -> Shot:
    """Return the shot of a placed setup, of the whole subject or closer up of the parts that `detail` names."""
    setup = closer(setup, detail, size[0] / size[1] if size else None) if detail else setup
    width, height = size or _natural_size(setup)
    arrangement = opened.arrangement
    geometry = describe(setup, arrangement.subject, width, height)
    looked_at = detail or (arrangement.subject.hero if arrangement.subject else None)
    return Shot(setup, finish, geometry, arrangement.camera, arrangement.room, looked_at)


def default_setups(opened: Opened) -> list[str]:
    """Return the setups of the default sheet, the person's own placing first."""
    own = [AS_PLACED] if opened.arrangement.fixed_lamps else []
    return own + (list(SHEET_ORDER) if opened.subject is not None else [])


def take_with_progress(
    shots: Sequence[Shot], tracing: Tracing, quality: str,
    hold: Callable[[list[Held]], list[Held]] | None = None,
) -> list[Frame]:  # fmt: skip
    """Return the frames of all shots in their order; progress with time left goes to a terminal's stderr.

    `hold` makes of what each would take by itself, exposure and white balance, what all are developed with.
    """
    passes = PASSES[quality]
    console = Console(stderr=True)
    columns = (
        TextColumn("{task.description}"), BarColumn(), MofNCompleteColumn(), TimeRemainingColumn(compact=True),
    )  # fmt: skip
    frames: dict[int, Frame] = {}
    try:
        with Progress(*columns, console=console, disable=not console.is_terminal) as progress:
            task = progress.add_task("tracing", total=passes_to_trace(shots, tracing, passes))
            tick = partial(progress.advance, task)
            held = hold(wanted_by_all(shots, tracing, passes, tick)) if hold else None
            for i, frame in take_all(shots, tracing, passes, tick, held):
                frames[i] = frame
                progress.update(
                    task, description=f"{escape(printable(frame.setup.name))}, {len(frames)} of {len(shots)}"
                )
    except KeyboardInterrupt:
        raise RuntimeError("stopped; what was traced is kept, and the same command goes on from there") from None
    return [frames[i] for i in range(len(shots))]


def held_by_setup(shots: Sequence[Shot], wanted: Sequence[Held]) -> list[Held]:
    """Return what frames of a setup in several finishes have in common, so that finishes compare."""
    rows: dict[str, list[int]] = {}
    for i, shot in enumerate(shots):
        rows.setdefault(shot.setup.name, []).append(i)
    common: dict[int, Held] = {}
    for row in rows.values():
        exposure = least([wanted[i].exposure for i in row])
        common |= {i: Held(exposure, wanted[row[0]].white) for i in row}
    return [common[i] for i in range(len(shots))]


def _finished(opened: Opened, finish: str) -> SubjectModel | None:
    declared = opened.arrangement.subject
    if finish == AS_BUILT or declared is None:
        return declared
    finishes = named_finishes()
    if finish in finishes:
        return declared.model_copy(update={"topcoat": finishes[finish].gloss_units})
    if finish.replace(".", "", 1).isdecimal():
        data = {**declared.model_dump(exclude_unset=True), "topcoat": float(finish)}
        return fill_model(data, SubjectModel, f"--finish {finish}")
    raise InputError(f"no finish is called '{finish}'{nearest(finish, [*finishes, AS_BUILT])}")


def _natural_size(setup: PlacedSetup) -> tuple[int, int]:
    small, large = sorted((DEFAULT_WIDTH_PX, DEFAULT_HEIGHT_PX))
    return (large, small) if setup.view.aspect > 1 else (small, large)
