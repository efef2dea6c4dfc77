"""No words on a mat's pages are cut or cover one another, whatever a setup has."""

from __future__ import annotations

from itertools import combinations
from pathlib import Path
from typing import Any

import pytest
import trimesh

from gallery.mat.mat import draw_mat
from gallery.paper.box import Box
from gallery.paper.page import CM_PER_INCH, drawing
from gallery.paper.size import PaperName, paper_of
from scenes.arrangement.arrangement import Arrangement
from scenes.arrangement.reading import fill_model
from scenes.setups.placed import PlacedSetup
from scenes.setups.setup import setup_names
from scenes.subject.subject import Subject
from tests.support.arrangements import place, subject_in
from tests.support.few import few_plain

SHARED_CM = 0.03
"""Of the boxes of two texts: the room that lines leave above letters without ascenders."""
DPI = 600
"""So fine that the hinting of a screen does not count."""
NAMES = "лампа, مصباح, $x_1$, " + "very long " * 20


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("pages")
    trimesh.creation.capsule(height=6, radius=2).export(folder / "pill.stl")
    return folder


def _subject(folder: Path, height_cm: float) -> Subject:
    return subject_in(folder / "pill.stl", height_cm=height_cm)


def _declared(height_cm: float, **sections: Any) -> Arrangement:
    return fill_model({"subject": {"mesh": "pill.stl", "height_cm": height_cm}, **sections}, Arrangement, "test.toml")


def _words_of(setup: PlacedSetup, paper: PaperName) -> list[tuple[Box, dict[str, Box]]]:
    """Return of each page its part inside the margins, and the boxes of its texts, cm."""
    from matplotlib.backends import backend_agg

    untyped: Any = backend_agg

    with drawing():
        pages = draw_mat(setup, NAMES, paper_of(paper))
    found = []
    for page in pages:
        page.set_dpi(DPI)
        renderer = untyped.RendererAgg(1, 1, DPI)
        width, height = page.get_size_inches() * CM_PER_INCH
        margin, boxes = paper_of(paper).margin_cm, {}
        for i, text in enumerate(page.axes[0].texts):
            if text.get_text().strip():
                (left, bottom), (right, top) = text.get_window_extent(renderer).get_points() / DPI * CM_PER_INCH
                boxes[f"{i} {text.get_text()}"] = Box(left, bottom, right, top)
        found.append((Box(margin, margin, width - margin, height - margin), boxes))
    return found


def _check(setup: PlacedSetup, paper: PaperName = PaperName.A4) -> None:
    pages = _words_of(setup, paper)
    assert len(pages) >= 2
    for inner, boxes in pages:
        assert boxes
        assert [text for text, box in boxes.items() if not inner.grown(0.05).holds(box)] == []
        pairs = combinations(boxes.items(), 2)
        covering = [(a, b) for (a, one), (b, other) in pairs if one.grown(-SHARED_CM).overlaps(other.grown(-SHARED_CM))]
        assert covering == []


@pytest.mark.parametrize("name", few_plain(setup_names(), {"butterfly"}))
def test_words_of_every_setup_stay_clear_of_one_another(name: str, folder: Path) -> None:
    _check(place(name, _declared(16.0), _subject(folder, 16.0)))


@pytest.mark.slow
@pytest.mark.parametrize("height_cm", [2.0, 60.0])
@pytest.mark.parametrize("name", ["three-point", "high-key"])
def test_words_of_tiny_and_large_models_do_so_on_letter_too(name: str, height_cm: float, folder: Path) -> None:
    _check(place(name, _declared(height_cm), _subject(folder, height_cm)), PaperName.letter)


@pytest.mark.slow
def test_many_lamps_side_by_side_keep_their_names(folder: Path) -> None:
    lamp = {"kind": "disc", "diameter_cm": 1, "lumens": 30, "kelvin": 4000, "aim_cm": [0, 0, 13]}
    spots = [(-20 + 1.5 * (i % 6), -20 + 1.5 * (i // 6), 30) for i in range(30)]
    lamps = [{**lamp, "name": f"l{i}", "at_cm": at} for i, at in enumerate(spots)]
    setup = place("as-placed", _declared(16.0, lamps=lamps), _subject(folder, 16.0))
    _check(setup)
    named = [text for _, boxes in _words_of(setup, PaperName.A4)[2:] for text in boxes]
    for number, placed in enumerate(setup.lamps, 1):
        assert any(text.endswith(f"{number} {placed.role}") for text in named)


@pytest.mark.slow
def test_an_empty_table_has_a_mat() -> None:
    lamp = {"name": "a", "kind": "bulb", "diameter_cm": 6, "lumens": 800, "kelvin": 2700}
    lamps = [{**lamp, "at_cm": [-10, -10, 40], "aim_cm": [0, 0, 0]}]
    _check(place("as-placed", fill_model({"lamps": lamps}, Arrangement, "test.toml"), None))
