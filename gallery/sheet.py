"""The contact sheet: frames in reading order, each with its caption, at one pixel to one."""

from __future__ import annotations

import io
import json
from collections.abc import Sequence
from pathlib import Path

from PIL import Image, ImageDraw, ImageFont

from render.frames import Frame
from render.store import write_whole

from .facts import exposure_words, lamp_words, reading_words, sheet_facts
from .lamp_words import light_words

PAPER, INK, SOFT_INK, WARNING = (250, 250, 248), (28, 28, 28), (92, 92, 92), (176, 72, 0)
MARGIN, GAP = 40, 28
HEADING_PX, NAME_PX, LINE_PX = 44, 32, 24
UPRIGHT_COLUMNS, LYING_COLUMNS = 4, 3  # so that fourteen frames and their captions fill an A4 page
MATRIX_COLUMNS = 6
CAPTION_WIDTH_PX = 480  # the sizes above are for this width, and grow with the frame


def compose_sheet(
    title: str, subtitle: str, frames: Sequence[Frame], names: Sequence[str] = (), columns: int | None = None
) -> Image.Image:
    """Return the contact sheet as a picture.

    Frames are called by their setups and finishes unless they have `names`. In a matrix of a finish a column, and where
    `columns` says so, rows are that long.
    """
    height, width = frames[0].rgb.shape[:2]
    scale = min(width, height) / CAPTION_WIDTH_PX
    columns = columns or _columns(frames)
    called = names or [_name(frame) for frame in frames]
    captions = [_caption(frame, name, scale, width) for frame, name in zip(frames, called, strict=True)]
    margin, gap, head = (round(v * scale) for v in (MARGIN, GAP, HEADING_PX * 2.4))
    rows = [range(i, min(i + columns, len(frames))) for i in range(0, len(frames), columns)]
    row_heights = [height + max(_caption_height(captions[i]) for i in row) + gap for row in rows]
    page_width = 2 * margin + columns * width + (columns - 1) * gap
    legend = _legend(frames, scale, page_width - 2 * margin)
    page_height = 2 * margin + head + sum(row_heights) + _caption_height(legend)
    page = Image.new("RGB", (page_width, page_height), PAPER)
    draw = ImageDraw.Draw(page)
    _write_heading(page, margin, title, subtitle, scale)
    y = margin + head
    for row, row_height in zip(rows, row_heights, strict=True):
        for column, i in enumerate(row):
            x = margin + column * (width + gap)
            page.paste(Image.fromarray(frames[i].rgb), (x, y))
            _write_caption(draw, captions[i], x, y + height)
        y += row_height
    _write_caption(draw, legend, margin, y)
    return page


def write_sheet(folder: Path, title: str, subtitle: str, frames: Sequence[Frame]) -> None:
    """Write sheet.png, sheet.json and frames/SETUP--FINISH.png under a folder, each whole or not at all."""
    for frame in frames:
        write_png(folder / "frames" / frame_name(frame), Image.fromarray(frame.rgb))
    write_png(folder / "sheet.png", compose_sheet(title, subtitle, frames))
    text = json.dumps(sheet_facts(title, list(frames)), indent=1) + "\n"
    write_whole(folder / "sheet.json", lambda file: file.write(text.encode()))


def frame_name(frame: Frame) -> str:
    """Return the file name of a frame."""
    return f"{frame.setup.name}--{frame.shot.finish}.png"


def write_png(path: Path, picture: Image.Image) -> None:
    """Write a picture as PNG, whole or not at all."""
    packed = io.BytesIO()
    picture.save(packed, "PNG", compress_level=3)  # a tenth larger than by 6, in half the time
    write_whole(path, lambda file: file.write(packed.getvalue()))


def _write_heading(page: Image.Image, margin: int, title: str, subtitle: str, scale: float) -> None:
    draw = ImageDraw.Draw(page)
    large, small = _font(HEADING_PX * scale, title), _font(LINE_PX * scale)
    gap = round(HEADING_PX * scale)
    room = page.width - 2 * margin - gap - draw.textlength(subtitle, small)
    while len(title) > 1 and draw.textlength(title, large) > room:
        title = title.rstrip("…")[:-1].rstrip() + "…"
    draw.text((margin, margin), title, INK, large)
    after = margin + draw.textlength(title, large) + gap
    draw.text((after, margin + 16 * scale), subtitle, SOFT_INK, small)


WIDE_FONTS = ("DejaVuSans.ttf", "NotoSans-Regular.ttf", "arial.ttf", "Arial Unicode.ttf", "LiberationSans-Regular.ttf")

Line = tuple[str, tuple[int, int, int], ImageFont.FreeTypeFont]


def _columns(frames: Sequence[Frame]) -> int:
    finishes = len(dict.fromkeys(frame.shot.finish for frame in frames))
    if 1 < finishes <= MATRIX_COLUMNS:
        return finishes
    height, width = frames[0].rgb.shape[:2]
    return min(len(frames), UPRIGHT_COLUMNS if height > width else LYING_COLUMNS)


def _name(frame: Frame) -> str:
    return frame.setup.name if frame.shot.finish == "as-built" else f"{frame.setup.name}, {frame.shot.finish}"


def _caption(frame: Frame, name: str, scale: float, width: int) -> list[Line]:
    lamps = " + ".join(lamp_words(lamp) for lamp in frame.setup.lamps)
    small = _font(LINE_PX * scale, lamps)
    lines: list[Line] = [(name, INK, _font(NAME_PX * scale, name))]
    said = [(lamps, SOFT_INK), (exposure_words(frame), SOFT_INK)]
    said += [(reading, INK) for reading in reading_words(frame)]
    said += [(lack, WARNING) for lack in frame.setup.lacks]
    for text, ink in said:
        lines += [(part, ink, small) for part in _wrapped(text, small, width)]
    return lines


def _legend(frames: Sequence[Frame], scale: float, width: int) -> list[Line]:
    """Return what the lamps of all frames are, a line each."""
    lamps = dict.fromkeys(lamp.lamp for frame in frames for lamp in frame.setup.lamps)
    said = [f"{lamp.name}: {light_words(lamp)}" for lamp in lamps]
    small = _font(LINE_PX * scale, "".join(said))
    return [(part, SOFT_INK, small) for text in said for part in _wrapped(text, small, width)]


def _wrapped(text: str, font: ImageFont.FreeTypeFont, width: int) -> list[str]:
    lines: list[str] = []
    for word in text.split(" "):
        longer = f"{lines[-1]} {word}" if lines else word
        if lines and font.getlength(longer) <= width:
            lines[-1] = longer
        else:
            lines.append(word)
    return lines


def _caption_height(lines: Sequence[Line]) -> int:
    return sum(round(font.size * 1.3) for _, _, font in lines) + round(lines[0][2].size * 0.4)


def _write_caption(draw: ImageDraw.ImageDraw, lines: Sequence[Line], x: int, y: int) -> None:
    y += round(lines[0][2].size * 0.2)
    for text, ink, font in lines:
        draw.text((x, y), text, ink, font)
        y += round(font.size * 1.3)


def _font(size: float, text: str = "") -> ImageFont.FreeTypeFont:
    """Return Pillow's own font, or one of the machine's where the text has letters beyond ASCII, which it lacks."""
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
