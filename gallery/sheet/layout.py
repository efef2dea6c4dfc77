"""Layout of a sheet: rows of frames under headings, each frame at its own pixels with captions above and below."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from PIL import Image, ImageDraw, ImageFont

from gallery.captions.wrapping import wrapped

PAPER, INK, SOFT_INK, WARNING = (250, 250, 248), (28, 28, 28), (92, 92, 92), (176, 72, 0)
MARGIN, GAP = 40, 28
HEADING_PX, NAME_PX, LINE_PX = 44, 32, 24
LINE_HEIGHT = 1.3
CAPTION_WIDTH_PX = 480  # the sizes above are for this width, and grow with the frame
LEAST_SCALE = 0.5  # lines of 12 pixels: smaller ones are hard to read
WIDE_FONTS = ("DejaVuSans.ttf", "NotoSans-Regular.ttf", "arial.ttf", "Arial Unicode.ttf", "LiberationSans-Regular.ttf")

Colour = tuple[int, int, int]


@dataclass(frozen=True)
class TextLine:
    """A line of text, its ink and its size in pixels on a frame 480 wide."""

    text: str
    ink: Colour = INK
    size: float = LINE_PX


@dataclass(frozen=True, eq=False)
class Cell:
    """A frame, (height, width, 3) of 8 bits, with captions above and below."""

    rgb: NDArray[np.uint8]
    below: tuple[TextLine, ...]
    above: tuple[TextLine, ...] = ()


@dataclass(frozen=True, eq=False)
class Row:
    """Frames of any shapes side by side, under an optional heading."""

    cells: tuple[Cell, ...]
    heading: tuple[TextLine, ...] = ()


def compose(title: str, subtitle: str, rows: Sequence[Row], notes: Iterable[TextLine] = ()) -> NDArray[np.uint8]:
    """Return a sheet of frames as a picture, (height, width, 3); its columns are as wide as the widest frame.

    Frames keep their own pixels and stand on one line in their row. Captions wrap to their column, so that no cell
    reaches into another.
    """
    frames = [cell.rgb for row in rows for cell in row.cells]
    width = max(frame.shape[1] for frame in frames)
    scale = max(LEAST_SCALE, max(min(frame.shape[:2]) for frame in frames) / CAPTION_WIDTH_PX)
    margin, gap = round(MARGIN * scale), round(GAP * scale)
    columns = max(len(row.cells) for row in rows)
    across = columns * width + (columns - 1) * gap
    head = _set((TextLine(title, INK, HEADING_PX), TextLine(subtitle, SOFT_INK)), across, scale)
    blocks = [_Block(row, width, across, scale) for row in rows]
    foot = _set(notes, across, scale)
    down = _height(head) + sum(gap + block.height for block in blocks) + gap + _height(foot)
    sheet = Image.new("RGB", (2 * margin + across, 2 * margin + down), PAPER)
    draw = ImageDraw.Draw(sheet)
    _write(draw, head, margin, margin)
    y = margin + _height(head) + gap
    for block in blocks:
        _write(draw, block.heading, margin, y)
        ground = y + block.ground
        for column, (cell, above, below) in enumerate(block.cells):
            x, top = margin + column * (width + gap), ground - cell.rgb.shape[0]
            _write(draw, above, x, top - _height(above))
            sheet.paste(Image.fromarray(cell.rgb), (x, top))
            _write(draw, below, x, ground)
        y += block.height + gap
    _write(draw, foot, margin, y)
    return np.asarray(sheet)


@dataclass(frozen=True)
class _SetLine:
    """A line that fits its column, with its font."""

    text: str
    ink: Colour
    font: ImageFont.FreeTypeFont


class _Block:
    """A row with its captions set in lines: its height, and where its frames stand, in pixels from its top."""

    def __init__(self, row: Row, width: int, across: int, scale: float) -> None:
        self.heading = _set(row.heading, across, scale)
        self.cells = [(cell, _set(cell.above, width, scale), _set(cell.below, width, scale)) for cell in row.cells]
        upper = max(_height(above) + cell.rgb.shape[0] for cell, above, _ in self.cells)
        self.ground = _height(self.heading) + upper
        self.height = self.ground + max(_height(below) for _, _, below in self.cells)


def _set(lines: Iterable[TextLine], width: int, scale: float) -> list[_SetLine]:
    """Return text wrapped into lines no wider than `width` pixels."""
    set_lines: list[_SetLine] = []
    for line in lines:
        font = font_for(line.size * scale, line.text)
        set_lines += [_SetLine(part, line.ink, font) for part in wrapped(line.text, width, font.getlength)]
    return set_lines


def _height(lines: Sequence[_SetLine]) -> int:
    if not lines:
        return 0
    return sum(round(line.font.size * LINE_HEIGHT) for line in lines) + round(lines[0].font.size * 0.5)


def _write(draw: ImageDraw.ImageDraw, lines: Sequence[_SetLine], x: int, y: int) -> None:
    y += round(lines[0].font.size * 0.2) if lines else 0
    for line in lines:
        draw.text((x, y), line.text, line.ink, line.font)
        y += round(line.font.size * LINE_HEIGHT)


def font_for(size: float, text: str = "") -> ImageFont.FreeTypeFont:
    """Return Pillow's own font, or a system font where the text has characters beyond ASCII, which the former lacks."""
    if not text.isascii():
        for name in WIDE_FONTS:
            try:
                return ImageFont.truetype(name, round(size))
            except OSError:
                continue
    font = ImageFont.load_default(round(size))
    if not isinstance(font, ImageFont.FreeTypeFont):
        raise RuntimeError("Pillow was built without FreeType: install its wheel from PyPI")
    return font
