"""The folder of a write-up: the article, its pictures, diagrams and arrangements."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING, Final

from gallery.again.document import again_pieces
from gallery.again.pieces import text_of
from gallery.captions.exposure import shared_exposure_words
from gallery.diagram.diagram import draw_diagram
from gallery.paper.page import drawing, write_pages
from gallery.sheet.layout import compose
from render.images.store.atomic_file import write_atomically
from scenes.arrangement.resolving import ResolvedArrangement

from .comparison import compare
from .content import SetupText
from .documents import html_document, markdown_document
from .photograph import Photograph
from .pictures import PRINT_DPI, WEB_PX, write_photograph, write_print_picture, write_strip, write_web_picture

if TYPE_CHECKING:
    from gallery.paper.size import Paper

FOLDERS: Final = ("web", "print", "diagrams", "again")
"""Below the article."""


def with_photograph(setup: SetupText, photograph: Photograph) -> SetupText:
    """Return a setup with a photograph beside its first picture."""
    frame = setup.pictures[0].frame
    return replace(setup, comparison=compare(photograph, frame, WEB_PX))


def write_writeup(
    out: Path, arrangement: ResolvedArrangement, setups: Sequence[SetupText], paper: Paper, options: str
) -> list[Path]:
    """Write the folder of an article and return its two documents, each file whole or not at all.

    `options` are those that the frames were taken with beside their arrangement, as they are typed.
    """
    for setup in setups:
        _write_diagram(out / "diagrams", setup, arrangement.title, paper)
        _write_pictures(out / "web", out / "print", setup)
        for picture in setup.pictures:
            text = text_of(again_pieces(arrangement, picture.frame, options))
            _write_text(out / "again" / f"{picture.stem}.toml", text)
    content = {
        "title": arrangement.title,
        "exposure": _exposure_words(setups),
        "setups": setups,
        "web_px": WEB_PX,
        "print_dpi": PRINT_DPI,
    }
    _write_text(out / "article.md", markdown_document(**content))
    _write_text(out / "article.html", html_document(**content))
    return [out / "article.html", out / "article.md"]


def _exposure_words(setups: Sequence[SetupText]) -> str:
    """Return which pictures have one exposure, which one alone has not to say."""
    frames = [frame for setup in setups for frame in setup.frames]
    return shared_exposure_words(frames).replace("  ", ", ") if len(frames) > 1 else ""


def _write_diagram(folder: Path, setup: SetupText, title: str, paper: Paper) -> None:
    """Write a setup's diagram as PDF, and its drawing, the first page, as PNG."""
    heading = f"{title}: {setup.name}"
    with drawing():
        pages = draw_diagram(setup.pictures[0].frame, setup.light, title, paper)
        write_pages(folder / f"{setup.stem}.pdf", pages, heading)
        write_pages(folder / f"{setup.stem}.png", pages[:1], heading)


def _write_pictures(web: Path, printed: Path, setup: SetupText) -> None:
    for picture in setup.pictures:
        write_web_picture(web / f"{picture.stem}.jpg", picture.frame, picture.alternative_text)
        write_print_picture(printed / f"{picture.stem}.png", picture.frame, picture.alternative_text)
    if setup.topcoats:
        write_strip(web / f"{setup.stem}--topcoats.jpg", compose("Topcoats", setup.reads_as, setup.topcoats))
    if setup.comparison is not None:
        write_photograph(web / f"{setup.stem}--photograph.jpg", setup.comparison.rgb)


def _write_text(path: Path, text: str) -> None:
    write_atomically(path, lambda file: file.write(text.encode()))
