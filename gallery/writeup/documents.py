"""The article in Markdown and in HTML, from the same content."""

from __future__ import annotations

from pathlib import Path
from typing import Any, Final

from gallery.files.templates import Verbatim, templates_in

from .markdown import markdown_text

ASSETS: Final = Path(__file__).parent / "assets"


def html_document(**content: Any) -> str:
    """Return the article as HTML, which shows every text as text."""
    from markupsafe import Markup

    style = Markup((ASSETS / "writeup.css").read_text(encoding="utf-8"))  # our own file
    return templates_in(ASSETS).get_template("writeup.html").render(style=style, **content)


def markdown_document(**content: Any) -> str:
    """Return the article as Markdown, in which every text stays text."""
    environment = templates_in(
        ASSETS, autoescape=False,
        finalize=lambda value: value if isinstance(value, Verbatim) else markdown_text(value),
    )  # fmt: skip
    environment.filters["table_row"] = lambda cells: Verbatim(f"| {' | '.join(map(markdown_text, cells))} |")
    environment.filters["table_rule"] = lambda cells: Verbatim("|" + "---|" * len(cells))
    return environment.get_template("writeup.md").render(**content)
