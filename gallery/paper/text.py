"""Text on a page: written in any script, measured and wrapped, in cm."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache, lru_cache
from typing import TYPE_CHECKING, Any, Final

from gallery.captions.wrapping import wrapped

from .fonts import drawable, font_of
from .page import CM_PER_INCH

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.text import Text

LINE_HEIGHT: Final = 1.3
"""Of lines of one text, in sizes of the font."""
DESCENT: Final = 0.3
"""Of a line, below its baseline, in sizes of the font."""
CM_PER_POINT: Final = CM_PER_INCH / 72
MEASURING_DPI: Final = 1440.0
"""So fine that the hinting of a screen does not count."""


@dataclass(frozen=True)
class Lettering:
    """Size of a font in points, and whether it is bold."""

    size_pt: float
    bold: bool = False

    @property
    def line_cm(self) -> float:
        """Height of a line, cm."""
        return LINE_HEIGHT * self.size_pt * CM_PER_POINT

    def width_cm(self, text: str) -> float:
        """Return the width of the longest line of a text, cm."""
        return max(_width_cm(line, self.size_pt, self.bold) for line in text.split("\n"))

    def size_cm(self, text: str) -> tuple[float, float]:
        """Return the width and height of a text of one or more lines, cm."""
        return self.width_cm(text), self.line_cm * (1 + text.count("\n"))

    def wrapped(self, text: str, width_cm: float) -> list[str]:
        """Return a text in lines no wider than `width_cm`; a word that is wider is broken."""
        return wrapped(text, width_cm, self.width_cm)

    def write(self, axes: Axes, x: float, y: float, text: str, **style: Any) -> Text:
        """Write a line from a point of its baseline on, cm; `style` has matplotlib's own names."""
        shown = drawable(text)
        style = {"ha": "left", "va": "baseline", "color": "black"} | style
        return axes.text(x, y, shown, fontproperties=font_of(shown, self.size_pt, bold=self.bold), **style)

    def write_lines(self, axes: Axes, x: float, top: float, text: str, **style: Any) -> list[Text]:
        """Write the lines of a text below `top`, cm, within the height that `size_cm` gives."""
        ground = top - self.line_cm + DESCENT * self.size_pt * CM_PER_POINT
        return [
            self.write(axes, x, ground - i * self.line_cm, line, **style) for i, line in enumerate(text.split("\n"))
        ]


@lru_cache(maxsize=4096)
def _width_cm(line: str, size_pt: float, bold: bool) -> float:
    shown = drawable(line)
    font = font_of(shown, size_pt, bold=bold)
    width, _, _ = _renderer().get_text_width_height_descent(shown, font, ismath=False)
    return float(width) / MEASURING_DPI * CM_PER_INCH


@cache
def _renderer() -> Any:
    from matplotlib.backends import backend_agg

    untyped: Any = backend_agg
    return untyped.RendererAgg(1, 1, MEASURING_DPI)
