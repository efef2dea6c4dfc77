"""The scale of a drawing: in words, and as a bar that a ruler checks."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, Final

from gallery.paper.box import Box
from gallery.paper.text import Lettering

from .measures import scale_words
from .views.view import THIN

if TYPE_CHECKING:
    from matplotlib.axes import Axes

WORDS: Final = Lettering(10)
BAR_HEIGHT_CM: Final = 2.6
"""Of bar and words."""
LONGEST_CM: Final = 8.0
"""Of the bar, on paper."""
THICKNESS_CM: Final = 0.18
STEPS: Final = 5


def draw_scale_bar(axes: Axes, scale: float, notes: str, within: Box) -> None:
    """Draw the bar of a drawing, 1 to `scale`, with notes, at the foot of a box of the page."""
    from matplotlib.patches import Rectangle

    length_cm = bar_cm(scale)
    step = length_cm / scale / STEPS
    foot = within.bottom + WORDS.line_cm
    for i in range(STEPS):
        place = (within.left + i * step, foot)
        axes.add_patch(
            Rectangle(
                place, step, THICKNESS_CM, facecolor="black" if i % 2 else "white", edgecolor="black", linewidth=THIN
            )
        )
    for i in (0, STEPS):
        style = {"ha": "left" if i == 0 else "right"}
        words = "0" if i == 0 else f"{length_cm:g} cm"
        WORDS.write_lines(axes, within.left + i * step, foot, words, **style)
    left, top = within.left + STEPS * step + 0.6, within.bottom + BAR_HEIGHT_CM
    text = f"scale {scale_words(scale)}; {notes}"
    WORDS.write_lines(axes, left, top, "\n".join(WORDS.wrapped(text, within.right - left)))


def bar_cm(scale: float) -> float:
    """Return what the bar of a scale stands for: 1, 2 or 5 times a power of ten, cm of the table, as fits."""
    longest = LONGEST_CM * scale
    power = 10.0 ** math.floor(math.log10(longest))
    return max(times * power for times in (1, 2, 5) if times * power <= longest)
