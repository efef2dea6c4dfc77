"""The drawing is true: things lie to scale where the setup has them, and no text covers another or leaves the page."""

from __future__ import annotations

from itertools import islice
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from matplotlib.patches import Polygon, Rectangle

from gallery.diagram.scale_bar import draw_scale_bar
from gallery.diagram.views.layout import MANTISSAS, clearest_side, extent_of, layout_of, scales
from gallery.inputs import open_input
from gallery.paper.page import drawing, new_page
from gallery.paper.size import PaperName, paper_of
from materials.arrays import Vector
from scenes.geometry import corners
from scenes.setups.place_setup import NoRoomError, place_setup
from scenes.setups.placed import PlacedSetup
from scenes.setups.setup import setup_names
from tests.support.diagrams.cases import WITHIN, as_placed, block, drawn, faults, text_boxes

PANEL = {"name": "panel", "size_cm": [20, 14], "lumens": 900, "at_cm": [-25, -15, 43], "aim_cm": [0, 0, 15]}
DISC = {"name": "disc", "kind": "disc", "diameter_cm": 12, "lumens": 500, "at_cm": [-20, 8, 30], "aim_cm": [0, 0, 5]}
BULB = {"name": "bulb", "kind": "bulb", "diameter_cm": 6, "lumens": 300, "at_cm": [30, -20, 12], "aim_cm": [0, 0, 5]}
FAR = {**PANEL, "name": "far", "at_cm": [5, -300, 60]}
CARD = {"name": "card", "size_cm": [21, 29.7], "reflectance": 0.8, "at_cm": [22, 0, 14.85], "facing": [-1, 0, 0]}
FULL = {"lamps": [PANEL, DISC, BULB], "cards": [CARD]}


def polygons(setup: PlacedSetup, mark: str) -> tuple[list[Vector], float]:
    """Return the outlines of a mark, in the plan and in the side view, cm of the page, and the scale."""
    axes, views = drawn(setup)
    found = [patch for patch in axes.patches if isinstance(patch, Polygon) and patch.get_gid() == mark]
    mark_at = [view.on_page([[0.0, 0.0, 0.0]])[0] for view in (views.plan, views.side)]
    both = zip(found, mark_at, strict=True)
    return [np.asarray(patch.get_xy())[:-1] - origin for patch, origin in both], views.layout.scale


@pytest.mark.parametrize(("side", "seen_from", "away"), [(-25, "camera left", -1), (25, "camera right", 1)])
def test_a_panel_lies_in_both_views_where_its_corners_are_seen_from_its_side(
    side: float, seen_from: str, away: int
) -> None:
    setup = as_placed(block(6, 6, 18), lamps=[{**PANEL, "at_cm": [side, -15, 43]}])
    assert clearest_side(setup) == seen_from
    place = setup.lamps[0].place
    true = corners(place.at_cm, place.facing, (20, 14))
    (plan, elevation), scale = polygons(setup, "1")
    assert plan * scale == pytest.approx(true[:, :2])
    assert elevation * scale == pytest.approx(np.column_stack([away * true[:, 1], true[:, 2]]))


def test_a_round_lamp_has_its_diameter_and_a_bulb_is_round_from_every_side() -> None:
    setup = as_placed(block(6, 6, 18), **FULL)
    (plan, side), scale = polygons(setup, "2")
    assert max(np.ptp(plan, axis=0).max(), np.ptp(side, axis=0).max()) * scale <= 12.0
    across = np.linalg.norm(plan[:, None] - plan, axis=-1).max()
    assert across * scale == pytest.approx(12.0, rel=1e-3)  # its level diameter is seen in full from above
    for outline in polygons(setup, "3")[0]:
        assert np.ptp(outline, axis=0) * scale == pytest.approx([6.0, 6.0], rel=2e-3)


def test_a_card_edge_on_is_a_line_of_its_length() -> None:
    (plan, side), scale = polygons(as_placed(block(6, 6, 18), **FULL), "A")
    assert np.ptp(plan, axis=0) * scale == pytest.approx([0.0, 21.0])
    assert np.ptp(side, axis=0) * scale == pytest.approx([21.0, 29.7])


def test_the_model_has_its_outline_from_above_and_from_the_side() -> None:
    axes, views = drawn(as_placed(block(8, 4, 12), lamps=[PANEL]))
    outlines = [c.get_paths() for c in axes.collections[1::2]]  # a hatched inside comes before each
    rings = [np.concatenate([np.asarray(path.vertices) for path in paths]) for paths in outlines]
    sizes = [np.ptp(ring, axis=0) * views.layout.scale for ring in rings]
    assert sizes[0] == pytest.approx([8, 4], abs=0.15)
    assert sizes[1] == pytest.approx([4, 12], abs=0.15)


def test_an_empty_stretch_before_a_far_lamp_is_left_out_and_both_sides_stay_to_scale() -> None:
    setup = as_placed(block(6, 6, 18), lamps=[PANEL, FAR])
    axes, views = drawn(setup)
    gap = views.plan.projection.gap
    assert gap is not None
    assert any(text.get_text() == f"{gap.length_cm:.0f} cm not drawn" for text in axes.texts)
    place = setup.lamps[1].place
    (plan, _), scale = polygons(setup, "2")
    true = corners(place.at_cm, place.facing, (20, 14))[:, :2] + (0, gap.length_cm)
    assert plan * scale == pytest.approx(true)


@pytest.mark.parametrize("x_cm", [3, 18, 60, 400])
def test_scales_are_round_and_what_is_drawn_fits(x_cm: float) -> None:
    setup = as_placed(None, lamps=[{**BULB, "diameter_cm": 1, "at_cm": [x_cm, -x_cm, x_cm]}])
    layout = layout_of(setup, (18.0, 20.0), (5.0, 4.0))
    assert layout.scale / 10 ** np.floor(np.log10(layout.scale)) in MANTISSAS
    plan, side = extent_of(setup, layout.plan), extent_of(setup, layout.side)
    assert max(plan.width / layout.scale + 5.0, side.width / layout.scale + 4.0) <= 18.0
    assert (plan.height + side.height) / layout.scale <= 20.0


def test_the_bar_is_as_long_as_it_says() -> None:
    for scale in islice(scales(), 25):
        with drawing():
            axes = new_page(paper_of(PaperName.A4))
            draw_scale_bar(axes, scale, "notes", WITHIN)
        steps = [patch.get_bbox() for patch in axes.patches if isinstance(patch, Rectangle)]
        said = next(float(text.removesuffix(" cm")) for text, _ in text_boxes(axes) if text.endswith(" cm"))
        assert (steps[-1].x1 - steps[0].x0) * scale == pytest.approx(said)
        assert 2.5 <= said / scale <= 8.0


@pytest.mark.parametrize("subject", [block(6, 6, 18), block(1, 1, 2), None], ids=["figure", "ant", "empty"])
def test_no_text_covers_another_or_leaves_the_margins(subject: Any) -> None:
    names = {"lamps": [{**PANEL, "name": "a very long name of a lamp 灯" * 5}, BULB], "cards": [CARD]}
    assert faults(drawn(as_placed(subject, **names))[0]) == []


@pytest.mark.slow
def test_twenty_lamps_and_cards_at_almost_one_place_have_their_texts_side_by_side() -> None:
    lamps = [{**BULB, "name": f"{i}", "diameter_cm": 1, "at_cm": [20, -20 + 1.3 * i, 20]} for i in range(20)]
    cards = [{**CARD, "name": f"c{i}", "size_cm": [2, 2], "at_cm": [25 + i, 0, 10]} for i in range(10)]
    assert faults(drawn(as_placed(block(6, 6, 18), lamps=lamps, cards=cards))[0]) == []


@pytest.mark.slow
@pytest.mark.parametrize(
    ("name", "size"),
    [
        ("figure", {"height_cm": 18.0}), ("bust", {"height_cm": 10.0}), ("tank", {"length_cm": 20.0}),
        ("aircraft", {"length_cm": 25.0}), ("figure", {"height_cm": 2.0}), ("ship", {"length_cm": 60.0}),
    ],
)  # fmt: skip
def test_no_text_covers_another_in_any_setup_of_any_model(name: str, size: dict[str, float]) -> None:
    arrangement = open_input(Path(f"stand-in:{name}"), size)
    wrong = {}
    for setup in setup_names():
        try:
            placed = place_setup(setup, arrangement)
        except NoRoomError:
            continue
        wrong[setup] = faults(drawn(placed)[0])
    assert len(wrong) >= 15
    assert {setup: found for setup, found in wrong.items() if found} == {}


def test_the_side_view_has_the_tilt_of_each_lamp_and_of_the_camera() -> None:
    camera = {"distance_cm": 70, "height_cm": 40}
    axes, _ = drawn(as_placed(block(6, 6, 18), camera=camera, lamps=[PANEL]))
    below = {first.get_text(): second.get_text() for first, second in zip(axes.texts, axes.texts[1:], strict=False)}
    assert below["1 key"] == "44° down"
    assert below["lens"] == "24° down"  # the middle of the model is 31 cm lower, 70 cm away
