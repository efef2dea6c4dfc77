"""The printed mat: its rulers measure 10 cm, and its pages taped together have each mark where the setup has it."""

from __future__ import annotations

from pathlib import Path
from typing import Any, NamedTuple

import numpy as np
import pypdfium2
import pypdfium2.raw as pdfium
import pytest
import trimesh
from numpy.typing import NDArray

from gallery.inputs import open_as_guessed
from gallery.mat.format import Format
from gallery.mat.marks.of_setup import marks_of
from gallery.mat.tiling import lay_pages
from gallery.paper.size import PaperName, paper_of
from scenes.setups.place_setup import place_setup
from tests.support.command import run

POINTS_PER_CM = 72 / 2.54
DPI = 100
PIXELS_PER_CM = DPI / 2.54


class Mat(NamedTuple):
    """A mat that the command wrote."""

    folder: Path
    setup: str
    paper: PaperName

    @property
    def pages(self) -> list[Any]:
        """Its pages, the overview first."""
        return list(pypdfium2.PdfDocument(self.folder / f"{self.setup}--mat.pdf"))


@pytest.fixture(
    scope="module",
    params=[("loop", PaperName.A4), pytest.param(("three-point", PaperName.letter), marks=pytest.mark.slow)],
)
def mat(tmp_path_factory: pytest.TempPathFactory, request: pytest.FixtureRequest) -> Mat:
    folder = tmp_path_factory.mktemp("mat")
    setup, paper = request.param
    trimesh.creation.capsule(height=6, radius=2).export(folder / "pill.stl")
    words = (setup, "pill.stl", "--height-cm", "16", "--mat", "--paper", paper.value)
    ran = run(folder, "diagram", *words, cache=folder / "untouched")
    assert ran.returncode == 0, ran.stderr
    assert ran.stdout.splitlines() == [f"{setup}--mat.pdf"]
    return Mat(folder, setup, paper)


def _straight_lines_cm(page: Any) -> NDArray[np.float64]:
    """Return width and height (n, 2) of the paths of a page, cm, without the widths of their strokes."""
    paths = list(page.get_objects(filter=[pdfium.FPDF_PAGEOBJ_PATH]))
    sizes = []
    for path in paths:
        points = [_point(path, i) for i in range(pdfium.FPDFPath_CountSegments(path.raw))]
        matrix = path.get_matrix()
        at = np.array([(matrix.a * x + matrix.c * y, matrix.b * x + matrix.d * y) for x, y in points])
        sizes.append(np.ptp(at, axis=0) / POINTS_PER_CM)
    return np.array(sizes)


def _point(path: Any, i: int) -> tuple[float, float]:
    x, y = pdfium.c_float(), pdfium.c_float()
    pdfium.FPDFPathSegment_GetPoint(pdfium.FPDFPath_GetPathSegment(path.raw, i), x, y)
    return x.value, y.value


def test_both_rulers_of_every_page_measure_ten_centimetres(mat: Mat) -> None:
    for page in mat.pages[1:]:
        sizes = _straight_lines_cm(page)
        for ruler in ((10.0, 0.0), (0.0, 10.0)):
            assert np.abs(sizes - ruler).max(axis=1).min() < 0.001


def test_taped_together_every_mark_lies_where_the_setup_has_it(mat: Mat) -> None:
    setup = place_setup(mat.setup, open_as_guessed(mat.folder / "pill.stl", {"height_cm": 16.0})[0])
    paper = paper_of(mat.paper)
    tiling = lay_pages(marks_of(setup), [Format(paper), Format(paper.lying)])
    spots = [(0.0, 0.0), *(lamp.place.at_cm[:2] for lamp in setup.lamps)]
    seen = set()
    for cell, page in zip(tiling.cells, mat.pages[1:], strict=True):
        dark = page.render(scale=DPI / 72).to_numpy()[..., 0] < 160
        area, table = tiling.area(cell), tiling.form.table
        for at in spots:
            if area.left < at[0] < area.right and area.bottom < at[1] < area.top:
                x = (at[0] - area.left + table.left) * PIXELS_PER_CM
                y = dark.shape[0] - (at[1] - area.bottom + table.bottom) * PIXELS_PER_CM
                assert _has_cross(dark, x, y), (cell, at)
                assert not _has_cross(dark, x + 5, y + 5)
                seen.add(at)
    assert seen == set(spots)


def _has_cross(dark: NDArray[np.bool_], x: float, y: float) -> bool:
    """Return whether both arms of a cross are dark, 1 cm long about a pixel, within a pixel and a half of it."""
    half = round(0.5 * PIXELS_PER_CM)
    column, row = round(x - 0.5), round(y - 0.5)
    level = dark[row - 1 : row + 2, column - half : column + half + 1].any(axis=0).all()
    upright = dark[row - half : row + half + 1, column - 1 : column + 2].any(axis=1).all()
    return bool(level and upright)


def test_the_first_page_says_how_to_print_and_lists_every_mark(mat: Mat) -> None:
    text = mat.pages[0].get_textpage().get_text_range().replace("\r\n", " ")
    for words in ("Print all pages at 100 %", "centre mark", "1 key", "camera", "sheet, front edge"):
        assert words in text


def test_a_mat_traces_nothing(mat: Mat) -> None:
    assert not (mat.folder / "untouched").exists()
