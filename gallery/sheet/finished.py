"""A finished contact sheet, opened again from its folder."""

from __future__ import annotations

import json
from collections.abc import Sequence
from dataclasses import dataclass
from functools import partial
from itertools import product
from pathlib import Path
from typing import Any, Final

from gallery.budget.goal import Goal
from gallery.captions.facts import FORMAT
from gallery.frames.exposure_scope import ExposureScope
from gallery.frames.shots import shots_with_room
from gallery.frames.taking import take_at_goal, take_stored
from gallery.inputs import open_as_guessed
from render.frame import Frame
from render.images.tracing import Tracing
from render.shot import Shot
from scenes.arrangement.reading import fill_model
from scenes.arrangement.resolving import ResolvedArrangement
from scenes.errors import InputError, nearest
from scenes.files import content_of
from scenes.progress import Progress, no_progress
from scenes.setups.place_setup import LeftOut

from .request import MadeFrom, Request, shots_fingerprint

FACTS: Final = "sheet.json"


@dataclass(frozen=True, eq=False)
class FinishedSheet:
    """A contact sheet that was made.

    Parameters
    ----------
    folder
        Where it lies.
    arrangement
        What it was made of.
    shots
        Those of its frames, in order.
    request
        What the sheet was asked for; its files are named from the current folder.
    rounds
        How many of them its frames have.
    facts
        The content of its JSON, as it was written.
    left_out
        The setups that it has no frames of.
    """

    folder: Path
    arrangement: ResolvedArrangement
    shots: tuple[Shot, ...]
    request: Request
    rounds: int
    facts: dict[str, Any]
    left_out: tuple[LeftOut, ...] = ()

    def shots_called(self, setups: Sequence[str], finishes: Sequence[str]) -> list[Shot]:
        """Return the shots of setups in finishes, in the order of these, each once; none named means all.

        Raises
        ------
        InputError
            For a setup or a finish that the sheet does not have.
        """
        rows = self._called("setup", setups, [shot.setup.name for shot in self.shots])
        columns = self._called("finish", finishes, [shot.finish for shot in self.shots])
        cells = {(shot.setup.name, shot.finish): shot for shot in self.shots}
        return [cells[cell] for cell in product(rows, columns)]

    def take_frames(self, tracing: Tracing, shots: Sequence[Shot] = ()) -> list[Frame]:
        """Return its frames, of these shots alone where there are any, under the exposures of the whole sheet.

        They are taken from lamp images that are stored; what is not stored of its rounds is traced anew.
        """
        setups, exposure = {shot.setup.name for shot in shots or self.shots}, self.request.exposure
        compared = [shot for shot in self.shots if shot.setup.name in setups or exposure is ExposureScope.sheet]
        take = partial(take_stored, compared, tracing, exposure)
        taken = take_at_goal(self.shots, tracing, Goal(rounds=self.rounds), take)
        frames = dict(zip(compared, taken, strict=True))
        return [frames[shot] for shot in shots or self.shots]

    def _called(self, option: str, names: Sequence[str], there: Sequence[str]) -> list[str]:
        """Return those of the names that a sheet has which are given, a file by its stem, or all; each once."""
        titles = {name: Path(name).stem if name.endswith(".toml") else name.lower() for name in names}
        for name, title in titles.items():
            if title not in there:
                raise InputError(f"--{option} {name}: is not in the sheet {self.folder}{nearest(title, set(there))}")
        return list(dict.fromkeys(titles.values() or there))


def open_finished(folder: Path, progress: Progress = no_progress) -> FinishedSheet:
    """Return the finished sheet in a folder.

    `progress` is called with a description of each step, since a large mesh takes a while.

    Raises
    ------
    InputError
        Where none is there, or what it was made of has changed since or cannot be opened.
    """
    facts = facts_in(folder)
    source = folder / FACTS
    if not isinstance(facts.get("made_from"), dict):
        raise InputError(f"{source}: does not say what it was made from; make it again with spruelight sheet")
    asked = fill_model(facts["made_from"], MadeFrom, str(source), ("made_from",))
    request = asked.found_from(folder)
    arrangement, _ = open_as_guessed(None if request.file is None else Path(request.file), request.sizing, progress)
    shots, left_out = shots_with_room(arrangement, request.setups, request.finishes, request.size, request.detail)
    if shots_fingerprint(shots) != asked.fingerprint:
        raise InputError(
            f"{source}: {arrangement.folder.source} or its files have changed since the sheet was made; make it again "
            "with spruelight sheet"
        )
    return FinishedSheet(folder, arrangement, tuple(shots), request, asked.rounds, facts, tuple(left_out))


def facts_in(folder: Path) -> dict[str, Any]:
    """Return the content of the JSON of a sheet's folder.

    Raises
    ------
    InputError
        Where there is none, or it is no sheet's.
    """
    source = folder / FACTS
    if folder.is_file():
        raise InputError(f"{folder}: is a file; name the folder that spruelight sheet wrote to, as sheet")
    if not source.exists():
        raise InputError(
            f"{folder}: no finished sheet is in it ({FACTS}); spruelight sheet FILE --out {folder} makes one of your "
            "model or arrangement"
        )
    try:
        facts = json.loads(content_of(source, "sheet"))
    except (ValueError, RecursionError):
        facts = None
    if not isinstance(facts, dict) or facts.get("format") != FORMAT:
        raise InputError(f"{source}: is not the JSON of a contact sheet; make it again with spruelight sheet")
    return facts
