"""The article in Markdown and in HTML, from the same content."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Any, Final
from urllib.parse import quote

from .markdown import markdown_text

if TYPE_CHECKING:
    from jinja2 import Environment

ASSETS: Final = Path(__file__).parent / "assets"


def html_document(**content: Any) -> str:
    """Return the article as HTML, which shows every text as text."""
    from markupsafe import Markup

    environment = _environment(autoescape=True)
    style = Markup((ASSETS / "writeup.css").read_text(encoding="utf-8"))  # our own file
    return environment.get_template("writeup.html").render(style=style, **content)


def markdown_document(**content: Any) -> str:
    """Return the article as Markdown, in which every text stays text."""
    environment = _environment(finalize=lambda value: value if isinstance(value, Verbatim) else markdown_text(value))
    environment.filters["table_row"] = lambda cells: Verbatim(f"| {' | '.join(map(markdown_text, cells))} |")
    environment.filters["table_rule"] = lambda cells: Verbatim("|" + "---|" * len(cells))
    return environment.get_template("writeup.md").render(**content)


class Verbatim(str):
    """Text that is not escaped any more."""

    __slots__ = ()


def address(path: str) -> Verbatim:
    """Return the address of a file below the article's folder."""
    return Verbatim(quote(path))


def _environment(**options: Any) -> Environment:
    from jinja2 import Environment, FileSystemLoader, StrictUndefined

    environment = Environment(
        loader=FileSystemLoader(ASSETS), undefined=StrictUndefined, trim_blocks=True, lstrip_blocks=True, **options
    )
    environment.filters["address"] = address
    return environment
