"""The picture of a model's parts: each in a colour of its own with its number, and a legend of their names."""

from __future__ import annotations

import re
from collections.abc import Sequence
from typing import Final

import numpy as np
from numpy.typing import NDArray
from PIL import Image, ImageDraw

from gallery.sheet.layout import INK, PAPER, SOFT_INK, Cell, Row, TextLine, compose, font_for
from materials.colour.srgb import srgb_decode
from scenes.arrangement.resolving import ResolvedArrangement
from scenes.geometry import direction_round
from scenes.subject.kind import SubjectKind
from scenes.subject.subject import Subject
from scenes.subject.whereabouts import whereabouts
from scenes.text import printable

from .legend import Entry, draw_legend, grouped, ink_on
from .part_colours import COLOURS, part_colours, touching_parts
from .part_labels import RADIUS_PX, Label, Spot, place_labels, spots
from .unlit import UnlitModel, axes_from

VIEW_PX, GUTTER_PX, VIEW_HEIGHT_PX, LEAST_HEIGHT_PX = 560, 60, 720, 420
TEXT_PX: Final = 17
FINER: Final = 3
"""Pixels of the picture of parts in one of the drawing, along a side."""
ROUND_DEG, RISE_DEG = 35.0, 25.0
VIEWS: Final = {"from the front": ROUND_DEG, "from behind": ROUND_DEG + 180.0}
MOST_LISTED: Final = 80
"""Parts with a line each in the legend; of more, the largest."""
HOW_TO_WRITE: Final = (
    'After match, hide, no_topcoat or --detail write the name of a part or a material, or a wildcard such as "wheel*".'
)


def draw_parts(arrangement: ResolvedArrangement) -> NDArray[np.uint8]:
    """Return the model of an arrangement from the front and from behind, its parts numbered as `check` lists them."""
    model = arrangement.model
    if model is None:
        raise ValueError("an empty table has no model to draw")
    unlit = UnlitModel(model, None)
    cameras = [
        unlit.camera(axes_from(direction_round(degrees, RISE_DEG)), VIEW_PX, VIEW_HEIGHT_PX)
        for degrees in VIEWS.values()
    ]
    fine = [unlit.part_indices(camera.finer(FINER)) for camera in cameras]
    rows = _rows_with_parts(fine)
    found = [spots(indices[FINER // 2 :: FINER, FINER // 2 :: FINER][rows]) for indices in fine]
    seen = [sum(view[part].pixels for view in found if part in view) for part in range(len(model.parts))]
    colours = part_colours(seen, set().union(*map(touching_parts, fine)))
    cells, numbered = [], set()
    for caption, camera, indices, own in zip(VIEWS, cameras, fine, labelled_spots(found), strict=True):
        picture = unlit.draw(camera, coloured(indices, colours))[rows]
        height, width = picture.shape[0], VIEW_PX + 2 * GUTTER_PX
        labels = place_labels([spot._replace(x=spot.x + GUTTER_PX) for spot in own], width, height)
        numbered |= {label.part for label in labels}
        cells.append(
            Cell(with_labels(picture, labels, colours, part_numbers(model)), (TextLine(caption, SOFT_INK, TEXT_PX),))
        )
    legend = _legend_row(legend_entries(model, arrangement.kind, colours, seen, numbered), VIEW_PX + 2 * GUTTER_PX)
    title = f"{printable(model.name)}: {len(model.parts)} part{'s' if len(model.parts) > 1 else ''}"
    notes = [TextLine(HOW_TO_WRITE, SOFT_INK, TEXT_PX)]
    return compose(title, "the parts by their numbers, in the order of check", [Row(tuple(cells)), legend], notes)


def _rows_with_parts(fine: Sequence[NDArray[np.int32]]) -> slice:
    """Return the rows of the views, not too few for a column of numbers, in which a part is seen."""
    (rows,) = np.nonzero(np.any([(indices >= 0).any(axis=1) for indices in fine], axis=0))
    low, high = (int(rows[0]) // FINER - 4, int(rows[-1]) // FINER + 5) if len(rows) else (0, 0)
    more = max(0, LEAST_HEIGHT_PX - (high - low)) // 2
    return slice(max(0, low - more), min(VIEW_HEIGHT_PX, high + more))


def part_numbers(model: Subject) -> list[int]:
    """Return the number of each part: that of its name where all are pieces of one lump, else its place in the list."""
    pieces = [re.fullmatch(r"piece (\d+)", part.name) for part in model.parts]
    return [int(piece[1]) if all(pieces) and piece else i for i, piece in enumerate(pieces, 1)]


def labelled_spots(found: Sequence[dict[int, Spot]]) -> list[list[Spot]]:
    """Return the spots that get a number in each view: where most of a part is seen, and where there is room on it."""
    most = {part: max(view[part].pixels for view in found if part in view) for view in found for part in view}
    chosen: list[list[Spot]] = []
    for view in found:
        done = {spot.part for earlier in chosen for spot in earlier}
        chosen.append(
            [
                spot
                for spot in view.values()
                if spot.inside >= RADIUS_PX or (spot.pixels == most[spot.part] and spot.part not in done)
            ]
        )
    return chosen


def coloured(indices: NDArray[np.int32], colours: NDArray[np.intp]) -> NDArray[np.float32]:
    """Return the colours of parts, linear sRGB, of a finer picture of part indices; dark lines run between parts."""
    palette = np.vstack([srgb_decode(np.array(COLOURS) / 255)[colours], np.zeros(3)])
    picture = palette[indices]
    edge = np.zeros(indices.shape, bool)
    edge[:, 1:] |= indices[:, 1:] != indices[:, :-1]
    edge[1:] |= indices[1:] != indices[:-1]
    picture[edge] *= 0.1
    height, width = (size // FINER for size in indices.shape)
    inside = (indices >= 0).reshape(height, FINER, width, FINER).sum(axis=(1, 3))[..., None]
    sums = picture.reshape(height, FINER, width, FINER, 3).sum(axis=(1, 3))
    return np.asarray(sums / np.maximum(inside, 1), np.float32)


def with_labels(
    picture: NDArray[np.uint8], labels: Sequence[Label], colours: NDArray[np.intp], numbers: Sequence[int]
) -> NDArray[np.uint8]:
    """Return a picture between two gutters, with the numbers of parts on it."""
    height, width = picture.shape[:2]
    image = Image.new("RGB", (width + 2 * GUTTER_PX, height), PAPER)
    image.paste(Image.fromarray(picture), (GUTTER_PX, 0))
    draw = ImageDraw.Draw(image)
    for _, at, anchor in labels:
        if at != anchor:
            draw.line((*at, *anchor), PAPER, 3)
            draw.line((*at, *anchor), INK, 1)
            x, y = anchor
            draw.ellipse((x - 3, y - 3, x + 3, y + 3), INK, PAPER)
    for part, (x, y), anchor in labels:
        colour = PAPER if (x, y) == anchor else COLOURS[colours[part]]
        draw.ellipse((x - RADIUS_PX, y - RADIUS_PX, x + RADIUS_PX, y + RADIUS_PX), colour, INK)
        draw.text((x, y), str(numbers[part]), ink_on(colour), font_for(15 if numbers[part] < 100 else 13), anchor="mm")
    return np.asarray(image)


def legend_entries(
    model: Subject, kind: SubjectKind, colours: NDArray[np.intp], seen: Sequence[int], numbered: set[int]
) -> list[Entry]:
    """Return the legend: a line for each part, by number; of very many, the largest, and the rest in groups."""
    numbers = part_numbers(model)
    largest = sorted(range(len(model.parts)), key=lambda part: (part not in numbered, -seen[part], part))
    listed = sorted(largest[:MOST_LISTED])
    entries = []
    for i in listed:
        part = model.parts[i]
        place = whereabouts(model, part, kind) if part.name.startswith("piece ") else ""
        remarks = [part.material or "", place, "" if i in numbered else "small" if seen[i] else "out of sight"]
        entries.append(Entry(str(numbers[i]), COLOURS[colours[i]], part.name, ", ".join(filter(None, remarks))))
    rest = [model.parts[i].name for i in sorted(largest[MOST_LISTED:])]
    return [*entries, *(Entry("", None, name, f"{count} more, small") for name, count in grouped(rest))]


def _legend_row(entries: Sequence[Entry], width: int) -> Row:
    """Return the legend in a row of two cells, each of one column or two."""
    columns = 1 if len(entries) <= 24 else 2
    rows = -(-len(entries) // (2 * columns))
    halves = (entries[: rows * columns], entries[rows * columns :])
    return Row(tuple(Cell(draw_legend(half, width, columns, rows), ()) for half in halves if half))
