"""The shots that a command names: every setup in every finish."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import Final

from materials.surface.named_finishes import named_finishes
from render.description.scene import setup_geometry, with_finishes
from render.shot import Shot
from scenes.arrangement.mistakes.synonyms import finish_name
from scenes.arrangement.reading import fill_model
from scenes.arrangement.resolving import ResolvedArrangement
from scenes.arrangement.subject_model import SubjectModel
from scenes.errors import InputError, nearest
from scenes.setups.place_setup import LeftOut, NoRoomError, place_setup, place_setups
from scenes.setups.placed import AS_PLACED, PlacedSetup
from scenes.setups.setup import SHEET_ORDER, load_setup
from scenes.subject.part_finishes import PartFinishes

from .close_up import close_up

AS_BUILT = "as-built"
LONG_SIDE_PX: Final = 640
"""Long side of a frame of no stated size; the short one follows from the camera's aspect ratio."""


def shots_of(
    arrangement: ResolvedArrangement, setups: Sequence[str], finishes: Sequence[str], size: tuple[int, int] | None,
    detail: str | None = None,
) -> list[Shot]:  # fmt: skip
    """Return the shots of every setup in every finish, setups first; none named means the default sheet's."""
    placed = [place_setup(name, arrangement, _aspect(size)) for name in setups or default_setups(arrangement)]
    return _in_finishes(arrangement, placed, finishes, size, detail)


def shots_with_room(
    arrangement: ResolvedArrangement, setups: Sequence[str], finishes: Sequence[str], size: tuple[int, int] | None,
    detail: str | None = None,
) -> tuple[list[Shot], list[LeftOut]]:  # fmt: skip
    """Return the shots as `shots_of`, without setups that have no room beside others that have, and those."""
    setups = setups or default_setups(arrangement)
    if not setups:
        raise InputError(
            f"{arrangement.folder.source} has no [subject] for setups to stand round, and no lamps fixed by at_cm; "
            'a kit is named in an arrangement, as kit = "my-lamps.toml"'
        )
    placed, left_out = place_setups(setups, arrangement, _aspect(size))
    if left_out and not placed:
        raise NoRoomError(arrangement.folder.source, left_out[0])
    return _in_finishes(arrangement, placed, finishes, size, detail), left_out


def _in_finishes(
    arrangement: ResolvedArrangement, placed: Sequence[PlacedSetup], finishes: Sequence[str],
    size: tuple[int, int] | None, detail: str | None,
) -> list[Shot]:  # fmt: skip
    """Return the shots of each placed setup in each finish, setups first."""
    coats = [(finish, _finished(arrangement, finish)) for finish in finishes or (AS_BUILT,)]
    shots = []
    for setup in placed:
        first = shot_of(arrangement, setup, coats[0][0], size, detail)
        for finish, coated in coats:
            geometry = with_finishes(first.geometry, first.setup, coated)
            shots.append(replace(first, finish=finish, geometry=geometry))
    return shots


def shot_of(
    arrangement: ResolvedArrangement, setup: PlacedSetup, finish: str, size: tuple[int, int] | None, detail: str | None
) -> Shot:
    """Return the shot of a placed setup, of the whole subject or closer up of the parts that `detail` names."""
    setup = close_up(setup, detail, _aspect(size)) if detail else setup
    width, height = size or _natural_size(setup)
    geometry = setup_geometry(setup, arrangement.finishes, width, height)
    return Shot(setup, finish, geometry, arrangement.declared.camera, arrangement.room, detail or arrangement.hero)


def default_setups(arrangement: ResolvedArrangement) -> list[str]:
    """Return the setups of the default sheet, the person's own placing first."""
    own = [AS_PLACED] if arrangement.fixed_lamps else []
    return own + (list(SHEET_ORDER) if arrangement.subject is not None else [])


def frame_title(setup: str, finish: str) -> str:
    """Return what the frame of a setup in a finish is called: `rembrandt`, `rembrandt, gloss`."""
    return setup if finish == AS_BUILT else f"{setup}, {finish}"


def require_known(setups: Sequence[str], finishes: Sequence[str]) -> None:
    """Refuse setups and finishes that no arrangement has, before any is opened.

    Raises
    ------
    InputError
        Where a setup or a finish is unknown, or a setup's file is wrong.
    """
    for setup in setups:
        if setup != AS_PLACED:
            load_setup(setup)
    for finish in finishes:
        _topcoat(finish)


def _finished(arrangement: ResolvedArrangement, finish: str) -> PartFinishes:
    """Return the finishes of the subject's parts under a topcoat by its name or in gloss units."""
    topcoat = _topcoat(finish)
    if topcoat is None or arrangement.declared.subject is None:
        return arrangement.finishes
    return replace(arrangement.finishes, topcoat=topcoat)


def _topcoat(finish: str) -> float | None:
    """Return the gloss units of a topcoat by its name or in gloss units; None as built."""
    if finish == AS_BUILT:
        return None
    finishes = named_finishes()
    if (name := finish_name(finish)) in finishes:
        return finishes[name].gloss_units
    if finish.replace(".", "", 1).isdecimal():
        return fill_model({"mesh": "", "topcoat": float(finish)}, SubjectModel, f"--finish {finish}").topcoat
    raise InputError(f"no finish is called '{finish}'{nearest(finish, [*finishes, AS_BUILT])}")


def _aspect(size: tuple[int, int] | None) -> float | None:
    return size[0] / size[1] if size else None


def _natural_size(setup: PlacedSetup) -> tuple[int, int]:
    aspect = setup.view.aspect
    return round(LONG_SIDE_PX * min(1.0, aspect)), round(LONG_SIDE_PX / max(1.0, aspect))
