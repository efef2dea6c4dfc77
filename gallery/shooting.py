"""From what the person named to frames taken: setups times finishes, with progress on stderr."""

from __future__ import annotations

from collections.abc import Sequence

from rich.console import Console
from rich.progress import BarColumn, MofNCompleteColumn, Progress, TextColumn, TimeRemainingColumn

from materials.named import named_finishes
from render.description import describe
from render.frames import Frame, Shot
from render.jobs import PASSES, passes_to_trace, take_all
from render.tracing import Tracing
from scenes.errors import InputError, nearest
from scenes.placing import AS_PLACED, PlacedSetup
from scenes.reading import fill_model
from scenes.setups import SHEET_ORDER
from scenes.subject_model import SubjectModel

from .inputs import Opened

AS_BUILT = "as-built"
DEFAULT_HEIGHT_PX, DEFAULT_WIDTH_PX = 640, 480


def shots_of(
    opened: Opened, setups: Sequence[str], finishes: Sequence[str], size: tuple[int, int] | None
) -> list[Shot]:
    """Return the shots of every setup in every finish, setups first; none named means the default sheet's."""
    names = list(setups) or default_setups(opened)
    aspect = size[0] / size[1] if size else None
    placed = [opened.place(name, aspect) for name in names]
    subjects = [(finish, _finished(opened, finish)) for finish in finishes or (AS_BUILT,)]
    return [_shot(opened, setup, finish, subject, size) for setup in placed for finish, subject in subjects]


def default_setups(opened: Opened) -> list[str]:
    """Return the setups of the default sheet, the person's own placing first."""
    own = [AS_PLACED] if opened.arrangement.fixed_lamps else []
    return own + (list(SHEET_ORDER) if opened.subject is not None else [])


def take_with_progress(shots: Sequence[Shot], tracing: Tracing, quality: str) -> list[Frame]:
    """Return the frames of all shots in their order; progress with time left goes to a terminal's stderr."""
    passes = PASSES[quality]
    console = Console(stderr=True)
    columns = (
        TextColumn("{task.description}"), BarColumn(), MofNCompleteColumn(), TimeRemainingColumn(compact=True),
    )  # fmt: skip
    frames: dict[int, Frame] = {}
    try:
        with Progress(*columns, console=console, disable=not console.is_terminal) as progress:
            task = progress.add_task("tracing", total=passes_to_trace(shots, tracing, passes))
            for i, frame in take_all(shots, tracing, passes, tick=lambda lamps: progress.advance(task, lamps)):
                frames[i] = frame
                progress.update(task, description=f"{frame.setup.name}, {len(frames)} of {len(shots)}")
    except KeyboardInterrupt:
        raise RuntimeError("stopped; what was traced is kept, and the same command goes on from there") from None
    return [frames[i] for i in range(len(shots))]


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


def _shot(
    opened: Opened,
    setup: PlacedSetup,
    finish: str,
    subject: SubjectModel | None,
    size: tuple[int, int] | None,
) -> Shot:
    width, height = size or _natural_size(setup)
    geometry = describe(setup, subject, width, height)
    return Shot(setup, finish, geometry, opened.arrangement.camera, opened.arrangement.room)


def _natural_size(setup: PlacedSetup) -> tuple[int, int]:
    small, large = sorted((DEFAULT_WIDTH_PX, DEFAULT_HEIGHT_PX))
    return (large, small) if setup.view.aspect > 1 else (small, large)
