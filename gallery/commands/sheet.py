"""`spruelight sheet`: the contact sheet."""

from __future__ import annotations

from functools import partial
from pathlib import Path

from gallery.frames.exposure_scope import ExposureScope
from gallery.terminal import print_json, print_lines

from .opening import open_arrangement, open_tracing
from .options import (
    ClusterOption,
    Detail,
    ExposureOption,
    FileOrFolder,
    Finishes,
    For,
    GoalQuality,
    Grain,
    Json,
    Out,
    PrintOption,
    Quality,
    Setups,
    ShareOption,
    Size,
    Sizing,
    Until,
    pixels,
    takes_sizing,
)
from .sheets import make_sheets


@takes_sizing
def sheet(
    file: FileOrFolder = None, setup: Setups = None, finish: Finishes = None, quality: GoalQuality = None,
    grain: Grain = None, work_for: For = None, until: Until = None, size: Size = None, detail: Detail = None,
    exposure: ExposureOption = ExposureScope.setup, paper: PrintOption = None, share: ShareOption = None,
    cluster: ClusterOption = None, out: Out = Path("sheet"), as_json: Json = False, *, sizing: Sizing,
) -> None:  # fmt: skip
    """Make the contact sheet of the setups; of several finishes, a row for each setup and a column for each finish.

    Of a folder, make that of each of its arrangements, and an index of them. It is a draft, unless --quality or --grain
    says how fine it is to be, or --for or --until when time is over: whichever comes first. Several runs with a --share
    each, or the workers of a --cluster, do the work together.
    """
    from gallery.budget.goal import goal_of
    from gallery.cluster.division import read_division
    from gallery.paper.size import paper_of
    from gallery.sheet.making import make_sheet
    from gallery.sheet.request import Request
    from gallery.sheet.run_notes import facts_with_summary

    goal, division = goal_of(quality, grain, work_for, until), read_division(share, cluster)
    request = Request(
        file=str(file) if file else None, sizing=sizing, setups=tuple(setup or ()), finishes=tuple(finish or ()),
        size=pixels(size), detail=detail, exposure=exposure, quality=quality or Quality.draft,
    )  # fmt: skip
    printer = None if paper is None else paper_of(paper)
    with division.workers() as workers_for:
        make = partial(make_sheet, paper=printer, workers_for=workers_for)
        if file is not None and file.is_dir():
            make_sheets(file, request, out, make, goal, division.share, as_json)
            return
        arrangement = open_arrangement(file, sizing)
        written = make(arrangement, request, out, open_tracing(arrangement), goal=goal)
    if as_json:
        print_json(facts_with_summary(out))
    else:
        print_lines(*map(str, written))
