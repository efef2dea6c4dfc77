"""`spruelight diagram` writes its pages as PDF, SVG or PNG, or refuses in a sentence."""

from __future__ import annotations

from pathlib import Path

import pypdfium2
import pytest
import trimesh

from tests.support.command import run

SMALL = ("--height-cm", "9", "--size", "48x64")


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("diagram")
    trimesh.creation.capsule(height=6, radius=2).export(folder / "pill.stl")
    return folder


@pytest.mark.parametrize(("paper", "size_cm"), [("A4", (21.0, 29.7)), ("letter", (21.59, 27.94))])
def test_a_pdf_has_pages_of_the_paper_and_its_text_as_text(
    folder: Path, paper: str, size_cm: tuple[float, float]
) -> None:
    ran = run(folder, "diagram", "rembrandt", "pill.stl", *SMALL, "--out", f"{paper}.pdf", "--paper", paper)
    assert ran.returncode == 0, ran.stderr
    assert ran.stdout.splitlines() == [f"{paper}.pdf"]
    for page in pypdfium2.PdfDocument(folder / f"{paper}.pdf"):
        assert page.get_size() == pytest.approx([cm * 72 / 2.54 for cm in size_cm], abs=0.01)
    text = pypdfium2.PdfDocument(folder / f"{paper}.pdf")[0].get_textpage().get_text_range()
    assert "1 key" in text


@pytest.mark.parametrize(
    ("words", "sentence"),
    [
        (("rembrandt", "pill.stl", *SMALL, "--out", "plan.doc"), "a page is written as .pdf, .svg or .png"),
        (("rembrant", "pill.stl", *SMALL, "--out", "plan.pdf"), "no setup is called 'rembrant'"),
        (("rembrandt", "pill.stl", *SMALL, "--out", "none/../pill.stl/plan.pdf"), "cannot be written to"),
    ],
)
def test_wrong_input_is_refused_before_anything_is_traced(folder: Path, words: tuple[str, ...], sentence: str) -> None:
    ran = run(folder, "diagram", *words, cache=folder / "untouched")
    assert ran.returncode == 2
    assert sentence in ran.stderr
    assert not (folder / "untouched").exists()
