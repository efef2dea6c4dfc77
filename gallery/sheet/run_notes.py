"""What a run on a sheet has done so far, beside the sheet and on stderr at its end."""

from __future__ import annotations

import json
import time
from collections.abc import Iterator, Sequence
from contextlib import contextmanager, suppress
from dataclasses import replace
from datetime import datetime
from pathlib import Path
from typing import Any, Final

from gallery.budget.goal import Goal
from gallery.budget.summary import Run, run_facts, summary_lines
from gallery.failure import failure_of
from gallery.files.facts import write_facts
from gallery.frames.shots import frame_title
from gallery.terminal import print_note
from render.allocation.rounds import Rounds
from render.shot import Shot
from scenes.errors import InputError
from scenes.setups.place_setup import LeftOut

from .finished import FACTS, facts_in
from .request import shots_fingerprint

SUMMARY: Final = "summary.json"


def facts_with_summary(folder: Path) -> dict[str, Any]:
    """Return the facts of the sheet in a folder, with those of the run that made it under `summary`."""
    facts, summary = (json.loads((folder / name).read_text(encoding="utf-8")) for name in (FACTS, SUMMARY))
    return {**facts, "summary": summary}


class RunNotes:
    """What a run has done so far on the sheet in a folder.

    It stands in summary.json and not in the sheet, which is the same however often its runs were stopped. With
    `is_printed` it is on stderr too, once the run has ended.
    """

    def __init__(
        self, folder: Path, goal: Goal, shots: Sequence[Shot], left_out: Sequence[LeftOut], *, is_printed: bool
    ) -> None:
        self._goal = goal
        self._path = folder / SUMMARY
        self._shots = shots
        self._left_out = left_out
        self._is_printed = is_printed
        self._began = time.monotonic()
        self._run: Run | None = None

    def begin(self) -> None:
        """Note that the sheet in the folder shows something else, if it does: a coarser one will take its place."""
        with suppress(InputError, LookupError, TypeError):
            made_of = facts_in(self._path.parent)["made_from"]["fingerprint"]
            if self._is_printed and made_of != shots_fingerprint(self._shots):
                print_note(
                    f"{self._path.parent}: its sheet is of another model, arrangement or options than this one, which "
                    "replaces it once its draft is done"
                )

    def remade(self, rounds: Rounds, grains: Sequence[float | None]) -> None:
        """Note that the sheet was remade of the rounds that are complete."""
        passes = rounds.passes
        self._run = Run(
            goal=self._goal,
            rounds=rounds.number,
            grains=[
                (frame_title(shot.setup.name, shot.finish), grain)
                for shot, grain in zip(self._shots, grains, strict=True)
            ],
            images=len(passes),
            geometries=len({shot.geometry.fingerprint for shot in self._shots}),
            passes=(min(passes), max(passes)),
            failed=self._left_out,
            ended_at=datetime.now().astimezone(),
            seconds=time.monotonic() - self._began,
            ended=None,
        )
        write_facts(self._path, run_facts(self._run))

    @contextmanager
    def of_early_end(self) -> Iterator[None]:
        """Note why the run ended if an exception ends it within the context."""
        try:
            yield
        except (SystemExit, KeyboardInterrupt):
            self.end("it was stopped")
            if self._run is not None and self._is_printed:
                print_note(f"the sheet so far: {self._path.with_name('sheet.png')}")
            raise
        except Exception as error:
            failure = failure_of(error)
            why = "; ".join(failure.sentences) if failure else repr(error)
            with suppress(OSError):  # a disk that is full may be why
                self.end(f"it failed: {why}")
            raise

    def end(self, why: str) -> None:
        """Note why the run ended, if there is a sheet."""
        if self._run is None:
            return
        seconds = time.monotonic() - self._began
        run = replace(self._run, ended_at=datetime.now().astimezone(), seconds=seconds, ended=why)
        write_facts(self._path, run_facts(run))
        if self._is_printed:
            for line in summary_lines(run):
                print_note(line)
