"""Geometries of the default sheet; what breaks the bounds of a placement, by geometry of its own."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path
from typing import Final

import pytest

from gallery.frames.shots import shots_of
from scenes.setups.place import Place
from scenes.setups.place_setup import place_setup
from scenes.setups.setup import SHEET_ORDER
from tests.support.notes import note
from tests.support.placements.bounds import breaches, scene_of
from tests.support.placements.cases import Table

SECTION: Final = "placements"
HIDDEN, HANGS = "is called hidden", "is not said to hang"


@pytest.mark.parametrize(("kind", "size_cm", "most"), [("figure", (5, 4, 20), 7), ("vehicle", (8, 18, 6), 6)])
def test_the_default_sheet_has_few_geometries_and_traces_the_same_for_one_setup_alone(
    kind: str, size_cm: tuple[float, float, float], most: int, tmp_path: Path
) -> None:
    table = Table(f'[subject]\nmesh = "box.stl"\nheight_cm = {size_cm[2]}\nkind = "{kind}"\n', size_cm)
    arrangement = table.opened(tmp_path)
    sheet = shots_of(arrangement, (), (), None)
    geometries = {shot.geometry.fingerprint for shot in sheet}
    note(SECTION, f"default sheet of a {kind}: {len(geometries)} geometries")
    assert tuple(shot.setup.name for shot in sheet) == SHEET_ORDER
    assert len(geometries) <= most
    for shot in sheet:
        (alone,) = shots_of(arrangement, (shot.setup.name,), (), None)
        assert alone.geometry.fingerprint == shot.geometry.fingerprint
        assert alone.emitter_shapes == shot.emitter_shapes


@pytest.mark.parametrize(
    ("at_cm", "aim_cm", "found"),
    [
        ((-30, -20, 30), (0, 0, 5), None),
        ((-30, -20, 5), (0, 0, 5.01), "below the table"),
        ((-20, 22, 30), (0, 0, 5), "behind the sheet"),
        ((0, 14, 16), (0, 0, 5), "in the frame"),
        ((0, -10, 30), (0, 0, 5), None),
        ((-7, 0, 14), (0, 0, 14), "from the model, 3 cm asked for"),
        ((0, -20, 10), (0, 0, 5), "between lens and model"),
        ((0, -41, 21), (0, 0, 21), "from the lens"),
        ((-41, -20, 30), (0, -20, 5), "40 cm are clear"),
        ((-30, 5, 12), (0, 0, 5), "stands between the hero and lamp"),
        ((-24, 0, 12), (-24, 10, 12), "cm apart"),
        ((0, 14, 16), (0, 0, 5), HIDDEN),
        ((0, 0, 40), (0, 0, 5), HANGS),
    ],
)
def test_a_lamp_put_where_it_breaks_a_bound_is_found_to(
    at_cm: tuple[float, float, float], aim_cm: tuple[float, float, float], found: str | None, tmp_path: Path
) -> None:
    table = Table(
        '[subject]\nmesh = "box.stl"\nheight_cm = 10\nkind = "figure"\n[camera]\nheight_cm = 20\n'
        "[room]\nclear_cm = { left = 40 }\n"
        "[[cards]]\nsize_cm = [21, 29.7]\nat_cm = [-24, 0, 15]\nfacing = [1, 0, 0]\n",
        (10, 10, 10),
    )
    arrangement = table.opened(tmp_path)
    placed = place_setup("loop", arrangement)
    key = replace(placed.lamps[0], place=Place(at_cm, aim_cm), hidden=found == HIDDEN, hangs=found != HANGS)
    broken = breaches(scene_of(arrangement, replace(placed, lamps=(key,))))
    assert any(found in sentence for sentence in broken) if found else not broken
