"""Layout of a page: rows of frames under headings, each frame at its own pixels with captions above and below."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from PIL import Image, ImageDraw, ImageFont

PAPER, INK, SOFT_INK, WARNING = (250, 250, 248), (28, 28, 28), (92, 92, 92), (176, 72, 0)
MARGIN, GAP = 40, 28
HEADING_PX, NAME_PX, LINE_PX = 44, 32, 24
LINE_HEIGHT = 1.3
CAPTION_WIDTH_PX = 480  # the sizes above are for this width, and grow with the frame
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
    """Frames side by side, under an optional heading."""

    cells: tuple[Cell, ...]
    heading: tuple[TextLine, ...] = ()


def compose(title: str, subtitle: str, rows: Sequence[Row], notes: Iterable[TextLine] = ()) -> NDArray[np.uint8]:
    """Return a page of frames of one size as a picture, (height, width, 3)."""
    height, width = rows[0].cells[0].rgb.shape[:2]
    scale = min(width, height) / CAPTION_WIDTH_PX
    margin, gap, head = (round(v * scale) for v in (MARGIN, GAP, HEADING_PX * 2.4))
    columns = max(len(row.cells) for row in rows)
    across = columns * width + (columns - 1) * gap
    blocks = [_Block(row, width, across, scale) for row in rows]
    foot = _set(notes, across, scale)
    down = head + sum(height + block.text_height + gap for block in blocks) + _height(foot)
    page = Image.new("RGB", (2 * margin + across, 2 * margin + down), PAPER)
    draw = ImageDraw.Draw(page)
    _write_title(page, margin, title, subtitle, scale)
    y = margin + head
    for row, block in zip(rows, blocks, strict=True):
        _write(draw, block.heading, margin, y)
        y += _height(block.heading)
        for column, cell in enumerate(row.cells):
            x = margin + column * (width + gap)
            _write(draw, block.above[column], x, y)
            page.paste(Image.fromarray(cell.rgb), (x, y + block.above_height))
            _write(draw, block.below[column], x, y + block.above_height + height)
        y += block.above_height + height + block.below_height + gap
    _write(draw, foot, margin, y)
    return np.asarray(page)


@dataclass(frozen=True)
class _SetLine:
    """A line that fits its column, with its font."""

    text: str
    ink: Colour
    font: ImageFont.FreeTypeFont


class _Block:
    """The captions of a row, set in lines, and their heights in pixels."""

    def __init__(self, row: Row, width: int, across: int, scale: float) -> None:
        self.heading = _set(row.heading, across, scale)
        self.above = [_set(cell.above, width, scale) for cell in row.cells]
        self.below = [_set(cell.below, width, scale) for cell in row.cells]
        self.above_height = max(map(_height, self.above))
        self.below_height = max(map(_height, self.below))
        self.text_height = _height(self.heading) + self.above_height + self.below_height


def _set(lines: Iterable[TextLine], width: int, scale: float) -> list[_SetLine]:
    """Return text wrapped into lines no wider than `width` pixels."""
    wrapped: list[_SetLine] = []
    for line in lines:
        font = _font(line.size * scale, line.text)
        wrapped += [_SetLine(part, line.ink, font) for part in _wrapped(line.text, font, width)]
    return wrapped


def _wrapped(text: str, font: ImageFont.FreeTypeFont, width: int) -> list[str]:
    lines: list[str] = []
    for word in text.split(" "):
        longer = f"{lines[-1]} {word}" if lines else word
        if lines and font.getlength(longer) <= width:
            lines[-1] = longer
        else:
            lines.append(word)
    return lines


def _height(lines: Sequence[_SetLine]) -> int:
    if not lines:
        return 0
    return sum(round(line.font.size * LINE_HEIGHT) for line in lines) + round(lines[0].font.size * 0.5)


def _write(draw: ImageDraw.ImageDraw, lines: Sequence[_SetLine], x: int, y: int) -> None:
    y += round(lines[0].font.size * 0.2) if lines else 0
    for line in lines:
        draw.text((x, y), line.text, line.ink, line.font)
        y += round(line.font.size * LINE_HEIGHT)


def _write_title(page: Image.Image, margin: int, title: str, subtitle: str, scale: float) -> None:
    draw = ImageDraw.Draw(page)
    large, small = _font(HEADING_PX * scale, title), _font(LINE_PX * scale, subtitle)
    gap = round(HEADING_PX * scale)
    room = page.width - 2 * margin - gap - draw.textlength(subtitle, small)
    while len(title) > 1 and draw.textlength(title, large) > room:
        title = title.rstrip("…")[:-1].rstrip() + "…"
    draw.text((margin, margin), title, INK, large)
    after = margin + draw.textlength(title, large) + gap
    draw.text((after, margin + 16 * scale), subtitle, SOFT_INK, small)


def _font(size: float, text: str = "") -> ImageFont.FreeTypeFont:
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
