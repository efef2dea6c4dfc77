"""Pages are as large as their paper, and what is drawn on them lies where it is said, in cm."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import numpy as np
import pypdfium2
import pytest
from numpy.typing import NDArray

from gallery.files.pictures import read_picture
from gallery.paper.page import PNG_DPI, drawing, new_page, page_of, write_pages
from gallery.paper.size import PaperName, paper_of
from scenes.errors import InputError

POINTS_PER_CM = 72 / 2.54


def _pages(count: int, *texts: str) -> list[Any]:
    with drawing():
        axes = [new_page(paper_of(PaperName.A4)) for _ in range(count)]
        for page in axes:
            page.plot([5, 15], [20, 20], color="black")
            for line, text in enumerate(texts):
                page.text(2, 10 - line, text)
    return [page_of(page) for page in axes]


@pytest.mark.parametrize(("name", "size_cm"), [("A4", (21.0, 29.7)), ("letter", (21.59, 27.94))])
def test_a_page_of_a_pdf_has_the_size_of_its_paper(tmp_path: Path, name: str, size_cm: tuple[float, float]) -> None:
    with drawing():
        write_pages(tmp_path / "page.pdf", [page_of(new_page(paper_of(PaperName(name))))], "Plan")
    (page,) = pypdfium2.PdfDocument(tmp_path / "page.pdf")
    assert page.get_size() == pytest.approx([cm * POINTS_PER_CM for cm in size_cm], abs=0.01)


def test_ten_centimetres_measure_ten_on_the_page(tmp_path: Path) -> None:
    with drawing():
        write_pages(tmp_path / "page.png", _pages(1), "Plan")
    picture: NDArray[Any] = read_picture(tmp_path / "page.png")
    rows, columns = np.nonzero(picture[..., 0] < 128)
    pixel_cm = 2.54 / PNG_DPI
    assert (columns.max() - columns.min()) * pixel_cm == pytest.approx(10, abs=0.06)  # the line's own width at its ends
    assert rows.mean() * pixel_cm == pytest.approx(29.7 - 20, abs=pixel_cm)


def test_text_of_a_pdf_is_text_and_a_dollar_sign_no_formula(tmp_path: Path) -> None:
    with drawing():
        write_pages(tmp_path / "page.pdf", _pages(1, "2 cm $x_1$ über"), "Plan")
    (page,) = pypdfium2.PdfDocument(tmp_path / "page.pdf")
    assert page.get_textpage().get_text_range().strip() == "2 cm $x_1$ über"


def test_several_pages_are_one_pdf_or_a_file_each(tmp_path: Path) -> None:
    with drawing():
        pages = _pages(2)
        assert write_pages(tmp_path / "plan.pdf", pages, "Plan") == [tmp_path / "plan.pdf"]
        assert write_pages(tmp_path / "plan.svg", pages, "Plan") == [tmp_path / "plan.svg", tmp_path / "plan-2.svg"]
    assert len(pypdfium2.PdfDocument(tmp_path / "plan.pdf")) == 2


@pytest.mark.parametrize("ending", ["pdf", "svg", "png"])
def test_equal_pages_are_equal_files(tmp_path: Path, ending: str) -> None:
    with drawing():
        for name in ("one", "two"):
            write_pages(tmp_path / f"{name}.{ending}", _pages(1, "A"), "Plan")
    assert (tmp_path / f"one.{ending}").read_bytes() == (tmp_path / f"two.{ending}").read_bytes()


def test_another_ending_is_refused_with_those_that_there_are(tmp_path: Path) -> None:
    with pytest.raises(InputError, match=r"plan\.doc: a page is written as \.pdf, \.svg or \.png"):
        write_pages(tmp_path / "plan.doc", [], "Plan")
