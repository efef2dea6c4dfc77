"""Captions of a sheet in lines of letters for print."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

from gallery.paper.text import Lettering

from .layout import LINE_PX, Colour, TextLine

if TYPE_CHECKING:
    from matplotlib.axes import Axes

LINE_PT: Final = 7.5
"""Size of a caption's letters: readable in the hand (common practice, no source)."""


@dataclass(frozen=True)
class PrintedLine:
    """A line that fits its column, with its ink and letters."""

    text: str
    ink: Colour
    letters: Lettering


def printed(lines: Iterable[TextLine], width_cm: float) -> tuple[PrintedLine, ...]:
    """Return text wrapped into lines no wider than `width_cm`, sized as on screen, a caption in LINE_PT."""
    found = []
    for line in lines:
        letters = Lettering(line.size * LINE_PT / LINE_PX)
        found += [PrintedLine(part, line.ink, letters) for part in letters.wrapped(line.text, width_cm)]
    return tuple(found)


def height_cm(lines: Sequence[PrintedLine]) -> float:
    """Return the height of lines, cm."""
    return sum(line.letters.line_cm for line in lines)


def write(axes: Axes, lines: Sequence[PrintedLine], left_cm: float, top_cm: float) -> None:
    """Write lines under each other, the first below `top_cm`."""
    for line in lines:
        line.letters.write_lines(axes, left_cm, top_cm, line.text, color=[channel / 255 for channel in line.ink])
        top_cm -= line.letters.line_cm
