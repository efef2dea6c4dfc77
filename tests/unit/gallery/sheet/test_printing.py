"""Printed sheets, read back from their PDF: as large as the paper, whole, in order, frames at their own pixels."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import combinations
from pathlib import Path
from typing import Any, Final

import numpy as np
import pypdfium2
import pypdfium2.raw
import pytest
from numpy.typing import NDArray

from gallery.paper.box import Box
from gallery.paper.page import drawing, write_pages
from gallery.paper.size import MARGIN_CM, PaperName, paper_of
from gallery.sheet.layout import INK, NAME_PX, SOFT_INK, Cell, Row, TextLine
from gallery.sheet.pagination import COARSEST_CM, LEAST_SIDE_CM, SheetContent
from gallery.sheet.printed_text import LINE_PT
from gallery.sheet.printing import sheet_pages
from gallery.sheet.rows import rows_of
from scenes.errors import InputError

CM: Final = 72 / 2.54
UPRIGHT, LYING = (48, 64), (64, 48)
CAPTION = ("key 100 % + fill 50 %, 4000 K", "1/80 s  f/1.7  ISO 50  4000 K", "backdrop 0.7 stops under the model")
LONG = "wants the fill 2 stops under the key: low is too weak, and is 4.3 under, which a nearer place mends"


def picture(size: tuple[int, int], number: int) -> NDArray[np.uint8]:
    """Return a picture, width x height, of one level, by which it is known again."""
    return np.full((size[1], size[0], 3), 10 * number, np.uint8)


def cells(count: int, size: tuple[int, int] = UPRIGHT, caption: Sequence[str] = CAPTION) -> list[Cell]:
    return [
        Cell(picture(size, i), (TextLine(f"setup {i}", INK, NAME_PX), *(TextLine(line, SOFT_INK) for line in caption)))
        for i in range(count)
    ]


def in_order(
    count: int, size: tuple[int, int] = UPRIGHT, caption: Sequence[str] = CAPTION, notes: int = 4
) -> SheetContent:
    """Return a sheet of so many frames in reading order."""
    arranged = [rows_of(cells(count, size, caption), columns) for columns in range(1, min(6, count) + 1)]
    foot = [TextLine(f"lamp {i}: panel, 20 x 14 cm, 900 lm, LED of 4000 K") for i in range(notes)]
    return SheetContent("Diver", "18 cm tall; each frame has its own exposure", arranged, foot)


def matrix(setups: int, finishes: int, size: tuple[int, int] = UPRIGHT) -> SheetContent:
    """Return a sheet of a row for each setup and a column for each finish."""
    rows = [
        Row(
            tuple(
                Cell(picture(size, r * finishes + c), (TextLine(CAPTION[2]),), (TextLine(f"finish {c}"),))
                for c in range(finishes)
            ),
            (TextLine(f"setup {r}"), TextLine(CAPTION[0])),
        )
        for r in range(setups)
    ]
    return SheetContent("Diver", "18 cm tall", [rows], [])


@dataclass(frozen=True)
class PrintedPage:
    """A page as its PDF has it: cm from the lower left corner."""

    size_cm: tuple[float, float]
    text: str
    text_boxes: list[Box]
    pictures: list[tuple[int, Box]]
    """Level of each, and where it is."""

    @property
    def inner(self) -> Box:
        return Box(0, 0, *self.size_cm).grown(-MARGIN_CM + 0.02)


def printed(content: SheetContent, folder: Path, paper: PaperName = PaperName.A4) -> list[PrintedPage]:
    """Return the pages of a sheet's PDF."""
    with drawing():
        write_pages(folder / "sheet.pdf", sheet_pages(content, paper_of(paper)), content.title)
    return [_read(page) for page in pypdfium2.PdfDocument(folder / "sheet.pdf")]


def _read(page: Any) -> PrintedPage:
    found = page.get_textpage()
    boxes = [found.get_rect(i) for i in range(found.count_rects())]
    pictures = []
    for image in page.get_objects([pypdfium2.raw.FPDF_PAGEOBJ_IMAGE]):
        pixels = np.asarray(image.get_bitmap().to_numpy())
        assert (pixels == pixels[0, 0, 0]).all()
        pictures.append((int(pixels[0, 0, 0]) // 10, _box(image.get_bounds())))
    return PrintedPage(
        tuple(side / CM for side in page.get_size()), found.get_text_range(), [*map(_box, boxes)], pictures
    )


def _box(points: Sequence[float]) -> Box:
    return Box(*(point / CM for point in points))


EXAMPLES: Final = {
    "one frame": in_order(1),
    "twenty lying": in_order(20, LYING),
    "long captions": in_order(5, caption=(*CAPTION, LONG, LONG)),
    "many lamps": in_order(3, notes=60),
    "a word without end": in_order(4, caption=("W" * 200,)),
    "wide matrix": matrix(2, 6),
    "any script": replace(
        in_order(2, caption=("潜水士", "водолаз $x$", "\U0001f93f \u202e")), title="潜水士 \U00010fff"
    ),
}


@pytest.fixture(scope="module")
def fourteen(tmp_path_factory: pytest.TempPathFactory) -> list[PrintedPage]:
    """Return the pages of fourteen frames."""
    return printed(in_order(14, (300, 400)), tmp_path_factory.mktemp("fourteen"))


def require_whole(pages: Sequence[PrintedPage], paper: PaperName) -> None:
    """Require pages of the paper's size, with nothing outside its margins and nothing over another."""
    size = paper_of(paper)
    for page in pages:
        assert sorted(page.size_cm) == pytest.approx([size.width_cm, size.height_cm], abs=0.01)
        boxes = [*(box for _, box in page.pictures), *page.text_boxes]
        assert all(page.inner.holds(box) for box in boxes)
        assert not any(one.overlaps(other) for one, other in combinations([box.grown(-0.02) for box in boxes], 2))


def test_nothing_is_outside_the_margins_and_nothing_overlaps(fourteen: list[PrintedPage]) -> None:
    require_whole(fourteen, PaperName.A4)


@pytest.mark.slow
@pytest.mark.parametrize("paper", PaperName)
@pytest.mark.parametrize("name", EXAMPLES)
def test_nor_is_it_of_other_sheets_and_paper(tmp_path: Path, name: str, paper: PaperName) -> None:
    require_whole(printed(EXAMPLES[name], tmp_path, paper), paper)


def test_frames_are_no_smaller_than_is_worth_a_page_and_are_in_reading_order(fourteen: list[PrintedPage]) -> None:
    assert len(fourteen) == 2
    assert [number for page in fourteen for number, _ in page.pictures] == list(range(14))
    for page in fourteen:
        places = [(-round(box.bottom, 2), round(box.left, 2)) for _, box in page.pictures]
        assert places == sorted(places)
    sides = {round(min(box.width, box.height), 3) for page in fourteen for _, box in page.pictures}
    assert len(sides) == 1
    assert sides.pop() >= LEAST_SIDE_CM


def test_every_page_has_the_title_its_number_and_captions_as_text_and_the_last_the_lamps(
    fourteen: list[PrintedPage],
) -> None:
    for i, page in enumerate(fourteen):
        lines = page.text.splitlines()
        assert {"Diver", f"{i + 1} of 2", "18 cm tall; each frame has its own exposure"} <= set(lines)
        assert all(f"setup {number}" in lines for number, _ in page.pictures)
    assert ["lamp 3: panel" in page.text for page in fourteen] == [False, True]


def test_letters_are_no_smaller_than_seven_points(fourteen: list[PrintedPage]) -> None:
    assert LINE_PT >= 7
    assert min(box.height for page in fourteen for box in page.text_boxes) > 0.5 * 7 / CM  # of what is inked


def test_a_row_of_a_matrix_has_its_heads_on_whichever_page_it_is(tmp_path: Path) -> None:
    pages = printed(matrix(6, 3, (300, 400)), tmp_path)
    require_whole(pages, PaperName.A4)
    assert len(pages) > 1
    for page in pages:
        rows = len(page.pictures) // 3
        assert page.text.count("finish 0") == page.text.count("finish 2") == page.text.count(CAPTION[0]) == rows
        columns = sorted({round(box.left, 2) for _, box in page.pictures})
        assert [round(box.left, 2) for _, box in page.pictures] == columns * rows


def test_a_single_page_has_no_number_and_frames_no_pixels_coarser_than_a_screens(tmp_path: Path) -> None:
    (page,) = printed(in_order(2), tmp_path)
    assert "1 of" not in page.text
    assert max(box.width for _, box in page.pictures) <= UPRIGHT[0] * COARSEST_CM + 0.01


def test_four_frames_of_few_pixels_fill_the_page_two_by_two(tmp_path: Path) -> None:
    (page,) = printed(in_order(4, (240, 180)), tmp_path)
    assert len({round(box.left, 2) for _, box in page.pictures}) == 2
    assert len({round(box.bottom, 2) for _, box in page.pictures}) == 2
    left, right = min(box.left for _, box in page.pictures), max(box.right for _, box in page.pictures)
    assert right - left > 0.95 * page.inner.width


@pytest.mark.slow
def test_notes_that_have_no_room_go_on_with_none_lost(tmp_path: Path) -> None:
    text = "\n".join(page.text for page in printed(in_order(3, notes=150), tmp_path))
    assert all(f"lamp {i}:" in text for i in range(150))


def test_captions_that_leave_no_room_for_a_frame_are_refused(tmp_path: Path) -> None:
    with pytest.raises(InputError, match="leave no room for frames"):
        printed(in_order(1, caption=(LONG,) * 200), tmp_path)
