"""No placed lamp or card breaks a bound, and nearly all are where their setups want them: by geometry of its own."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path
from typing import Final

import numpy as np
import pytest

from gallery.frames.shots import shots_of
from scenes.arrangement.resolving import ResolvedArrangement
from scenes.errors import InputError
from scenes.setups.place import Place
from scenes.setups.place_setup import place_setup
from scenes.setups.setup import SHEET_ORDER, load_setup, setup_names
from tests.support.notes import note
from tests.support.placements.bodies import Solid, solid_of
from tests.support.placements.bounds import breaches, scene_of
from tests.support.placements.cases import BOXES, Table, draw_table, plain_tables
from tests.support.placements.wanted import card_off_deg, off_deg

SECTION: Final = "placements"
NEAR_DEG: Final = 10.0
FEW, MANY = 3, 50
SETUPS_A_TABLE: Final = 8
HIDDEN, HANGS = "is called hidden", "is not said to hang"


@pytest.mark.parametrize(
    "seed", [*range(FEW), *(pytest.param(seed, marks=pytest.mark.slow) for seed in range(FEW, MANY))]
)
def test_no_placed_lamp_or_card_breaks_a_bound(seed: int, tmp_path: Path) -> None:
    rng = np.random.default_rng(seed)
    table = draw_table(rng)
    arrangement = table.opened(tmp_path)
    solids: dict[int, Solid] = {}
    setups = [str(setup) for setup in rng.permutation(setup_names())[:SETUPS_A_TABLE]]
    broken = [sentence for setup in setups for sentence in _breaches(setup, arrangement, solids)]
    assert not broken, "\n".join([table.toml, *broken])


@pytest.mark.parametrize(
    ("sizes", "scales", "boxes"),
    [
        pytest.param("usual", (1.0,), {}, marks=pytest.mark.slow),
        pytest.param("all", (0.3, 0.6, 1.0, 2.0), BOXES, marks=pytest.mark.slow),
    ],
)
def test_with_the_default_kit_nearly_all_lamps_and_cards_are_within_10_degrees_of_what_their_setups_want(
    sizes: str, scales: tuple[float, ...], boxes: dict[str, tuple[float, float, float]], tmp_path: Path
) -> None:
    off = []
    for table in plain_tables(scales, boxes):
        arrangement = table.opened(tmp_path)
        off += [(angle, setup, table.toml) for setup in setup_names() for angle in _off_deg(setup, arrangement)]
    near = sum(angle <= NEAR_DEG for angle, *_ in off) / len(off)
    note(SECTION, f"{sizes} sizes: {100 * near:.1f} % of {len(off)} placings within {NEAR_DEG:g} degrees, no lack")
    note(SECTION, "worst: " + "; ".join(f"{angle:.0f} {setup}" for angle, setup, _ in sorted(off)[:-11:-1]))
    assert near >= 0.95


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


def _off_deg(setup: str, arrangement: ResolvedArrangement) -> list[float]:
    """Return how far lamps and cards are from where a setup wants them; infinite for all where one is lacking."""
    placed, wanted = place_setup(setup, arrangement), load_setup(setup)
    if placed.shortfalls:
        return [np.inf] * (len(wanted.lamps) + len(wanted.cards))
    return [
        *(off_deg(placed, lamp, arrangement.faces_deg) for lamp in placed.lamps),
        *(card_off_deg(placed, card, arrangement.faces_deg) for card in placed.cards),
    ]


def _breaches(setup: str, arrangement: ResolvedArrangement, solids: dict[int, Solid]) -> list[str]:
    """Return what a setup breaks; nothing where it is refused for want of room."""
    try:
        placed = place_setup(setup, arrangement)
    except InputError:
        return []
    assert placed.subject is not None
    if id(placed.subject) not in solids:
        solids[id(placed.subject)] = solid_of(placed.subject)
    return [f"{setup}: {broken}" for broken in breaches(scene_of(arrangement, placed, solids[id(placed.subject)]))]
