"""The legend of a picture of parts: number, colour, name and material, a line each; the smallest of many in groups."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray
from PIL import Image, ImageDraw

from gallery.sheet.layout import INK, PAPER, SOFT_INK, font_for
from scenes.text import printable

ROW_PX, TEXT_PX, SWATCH_PX, GAP_PX = 27, 18, 34, 8


class Entry(NamedTuple):
    """A line of the legend: a part's number and colour, which a group has not; its name, and a remark on it."""

    number: str
    colour: tuple[int, int, int] | None
    name: str
    remark: str = ""


def draw_legend(entries: Sequence[Entry], width: int, columns: int, rows: int) -> NDArray[np.uint8]:
    """Return entries as a picture of that width, in columns of so many rows, from top to bottom; long names are cut."""
    picture = Image.new("RGB", (width, max(1, rows) * ROW_PX), PAPER)
    draw = ImageDraw.Draw(picture)
    across = width // columns
    for i, entry in enumerate(entries):
        x, y = i // rows * across, i % rows * ROW_PX
        middle = y + ROW_PX // 2
        if entry.colour is not None:
            draw.rounded_rectangle((x, y + 2, x + SWATCH_PX, y + ROW_PX - 3), 5, entry.colour, INK)
            draw.text((x + SWATCH_PX / 2, middle), entry.number, ink_on(entry.colour), font_for(15), anchor="mm")
        left: float = x + SWATCH_PX + 8
        room = across - SWATCH_PX - 18
        name, remark = fitted(entry.name, entry.remark, room)
        draw.text((left, middle), name, INK, font_for(TEXT_PX, name), anchor="lm")
        if remark:
            left += font_for(TEXT_PX, name).getlength(name) + GAP_PX
            draw.text((left, middle), remark, SOFT_INK, font_for(TEXT_PX, remark), anchor="lm")
    return np.asarray(picture)


def ink_on(colour: tuple[int, int, int]) -> tuple[int, int, int]:
    """Return black or white, whichever is read better on a colour."""
    return INK if 0.299 * colour[0] + 0.587 * colour[1] + 0.114 * colour[2] > 110 else PAPER


def fitted(name: str, remark: str, room: float) -> tuple[str, str]:
    """Return a name and a remark that together take no more than so many pixels: the remark is cut first."""
    name, remark = printable(name), printable(remark)
    font = font_for(TEXT_PX, name + remark)
    name = next(text for text in _shorter(name) if font.getlength(text) <= room or not text)
    left = room - font.getlength(name) - GAP_PX
    return name, next(text for text in _shorter(remark) if font.getlength(text) <= left or not text)


def _shorter(text: str) -> Iterator[str]:
    """Yield a text, then shorter and shorter beginnings of it with an ellipsis, then nothing."""
    yield text
    for length in range(len(text) - 2, 2, -1):
        yield text[:length].rstrip(" ,") + "..."
    yield ""


def grouped(names: Sequence[str]) -> list[tuple[str, int]]:
    """Return wildcards for names that begin alike, up to a number or a space, and how many each stands for."""
    groups: dict[str, list[str]] = {}
    for name in names:
        groups.setdefault(re.split(r"[\d\s_.-]", name, maxsplit=1)[0] or name, []).append(name)
    return [(found[0] if len(found) == 1 else f"{stem}*", len(found)) for stem, found in groups.items()]
