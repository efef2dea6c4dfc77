"""Text on a page is as wide as measured, wraps to a width, and any script is written without a complaint."""

from __future__ import annotations

from pathlib import Path

import pypdfium2
import pytest
from hypothesis import given
from hypothesis import strategies as st

from gallery.paper import fonts
from gallery.paper.fonts import MISSING, drawable
from gallery.paper.page import CM_PER_INCH, drawing, new_page, page_of, write_pages
from gallery.paper.size import PaperName, paper_of
from gallery.paper.text import Lettering

LETTERING = Lettering(10)


@pytest.mark.parametrize("text", ["14 in front", "WWWW", "Ключ", "x"])
def test_a_line_is_as_wide_in_the_pdf_as_measured(tmp_path: Path, text: str) -> None:
    with drawing():
        axes = new_page(paper_of(PaperName.A4))
        LETTERING.write(axes, 2, 20, f"|{text}|")
        write_pages(tmp_path / "page.pdf", [page_of(axes)], "Plan")
        measured = LETTERING.width_cm(f"{text}|")  # from the left side of a bar to that of the next
    words = pypdfium2.PdfDocument(tmp_path / "page.pdf")[0].get_textpage()
    first, last = words.get_charbox(0), words.get_charbox(words.count_chars() - 1)
    assert (last[0] - first[0]) / 72 * CM_PER_INCH == pytest.approx(measured, abs=0.02)


@given(st.text(max_size=60), st.floats(0.5, 6))
def test_wrapped_lines_fit_and_lose_no_character(text: str, width_cm: float) -> None:
    lines = LETTERING.wrapped(text, width_cm)
    assert "".join("".join(lines).split()) == "".join(text.split())
    assert all(LETTERING.width_cm(line) <= width_cm or len(line) == 1 for line in lines)


@pytest.mark.parametrize("ending", ["pdf", "svg", "png"])
def test_any_script_is_written_without_a_complaint(tmp_path: Path, ending: str) -> None:
    name = "𝠀 ship ⚓ Ω \U0010fffd\u202e$x^2$\n灯"
    with drawing():
        axes = new_page(paper_of(PaperName.A4))
        LETTERING.write(axes, 2, 20, name)
        (path,) = write_pages(tmp_path / f"page.{ending}", [page_of(axes)], name)
    assert path.stat().st_size > 500


def test_what_no_font_has_is_an_empty_square(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(fonts, "_families", lambda: ((fonts.FAMILY, frozenset(map(ord, "ab"))),))
    fonts._family_with.cache_clear()
    assert drawable("abcb") == f"ab{MISSING}b"
    fonts._family_with.cache_clear()
