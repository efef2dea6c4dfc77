"""Templates of HTML and Markdown, in which a name that is missing is an error."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Any
from urllib.parse import quote

if TYPE_CHECKING:
    from jinja2 import Environment


def templates_in(folder: Path, **options: Any) -> Environment:
    """Return the templates of a folder, with the filter `address` for paths; of HTML every text stays text."""
    from jinja2 import Environment, FileSystemLoader, StrictUndefined

    environment = Environment(
        loader=FileSystemLoader(folder), undefined=StrictUndefined, trim_blocks=True, lstrip_blocks=True,
        **{"autoescape": True, **options},
    )  # fmt: skip
    environment.filters["address"] = address
    return environment


class Verbatim(str):
    """Text that is not escaped any more, in Markdown."""

    __slots__ = ()


def address(path: str) -> Verbatim:
    """Return the address of a file below the folder of a document."""
    return Verbatim(quote(path))
