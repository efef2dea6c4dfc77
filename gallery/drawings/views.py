"""How a model stands: three sides with the axes of its file; and how else it may stand, the likeliest first."""

from __future__ import annotations

from typing import Final, NamedTuple

import numpy as np
from numpy.typing import NDArray
from PIL import Image, ImageDraw

from gallery.sheet.layout import INK, NAME_PX, PAPER, SOFT_INK, WARNING, Cell, Row, TextLine, compose
from materials.arrays import Vector
from materials.colour.srgb import srgb_decode
from render.description.scene import Camera
from scenes.arrangement.resolving import ResolvedArrangement
from scenes.geometry import direction_round
from scenes.subject.axes import upright
from scenes.subject.kind import SubjectKind, guessed_kind, usual_faces_deg
from scenes.subject.orientation.choices import orientation_choices
from scenes.subject.orientation.ranking import Orientation, current_orientation
from scenes.text import printable

from .axis_marks import with_axis_marks
from .unlit import UnlitModel, axes_from, pixels_of

VIEW_PX, CHOICE_PX = (360, 300), (360, 270)
COLUMNS: Final = 3
RISE_DEG: Final = 20.0
"""Of the camera, where a model is shown as it would stand."""
CHOICE_MARGIN: Final = 1.25
TABLE: Final = (222, 219, 212)
TABLE_MARGIN: Final = 0.12
"""Of the table round a model, in half its largest dimension."""


class View(NamedTuple):
    """A caption, and the side of the model that the camera is on."""

    caption: str
    side: tuple[float, float, float]


VIEWS: Final = (
    View("from the camera: the face should look at you", (0.0, -1.0, 0.0)),
    View("from camera right: the face should look left", (1.0, 0.0, 0.0)),
    View("from above: the face should look down the page", (0.0, -1e-4, 1.0)),
)
HOW_TO_TYPE: Final = (
    "The arrows are the axes of the file, the dot points at you. --up takes the axis that should point up, --front "
    "the one that the face or the nose looks along."
)


def draw_views(arrangement: ResolvedArrangement) -> NDArray[np.uint8]:
    """Return the model of an arrangement, its front to the camera, from three sides; below, how it may stand otherwise.

    A built-in model has no file whose axes could be meant: of it there are the three sides alone.
    """
    if arrangement.model is None:
        raise ValueError("an empty table has no model to draw")
    model, current = arrangement.model, current_orientation(arrangement.model)
    unlit = UnlitModel(model, arrangement.finishes)
    heading = "" if current is None else f": --up {current[0]} --front {current[1]}"
    rows = [Row(tuple(_side_cell(unlit, view) for view in VIEWS), (TextLine(f"as it stands now{heading}"),))]
    choices = () if current is None else orientation_choices(arrangement.ranked_orientations, current)
    cells = [_choice_cell(unlit, arrangement, choice, i == 0) for i, choice in enumerate(choices)]
    for i in range(0, len(cells), COLUMNS):
        head = (TextLine("how it would stand, the likeliest first, and what to type"),) if i == 0 else ()
        rows.append(Row(tuple(cells[i : i + COLUMNS]), head))
    notes = [TextLine(HOW_TO_TYPE, SOFT_INK)] if current else []
    return compose(printable(model.name), "which way is up, and where does it look?", rows, notes)


def _side_cell(unlit: UnlitModel, view: View) -> Cell:
    axes = axes_from(np.array(view.side))
    picture = unlit.draw(unlit.camera(axes, *VIEW_PX))
    if unlit.model.from_file_axes is not None:
        picture = with_axis_marks(picture, axes, unlit.model.from_file_axes)
    return Cell(picture, (TextLine(view.caption, SOFT_INK),))


def _choice_cell(unlit: UnlitModel, arrangement: ResolvedArrangement, choice: Orientation, is_likeliest: bool) -> Cell:
    """Return a model as the camera would see it in another orientation, and the options that name it."""
    model = unlit.model
    rotation = model.from_file_axes
    current = current_orientation(model)
    if rotation is None or current is None:
        raise ValueError("a model that came from no file has no axes to choose from")
    turn = upright(choice.up, choice.front) @ rotation.T  # from the table as it stands to the table as it would
    kind = arrangement.named_kind or _kind_when(turn, model.model_bounds_cm)
    axes = turn.T @ axes_from(direction_round(-usual_faces_deg(kind), RISE_DEG))
    camera = unlit.camera(axes, *CHOICE_PX, margin=CHOICE_MARGIN)
    picture = unlit.draw(camera, ground=_table(camera, turn, model.bounds_cm))
    lines = [TextLine(choice.options, INK, NAME_PX * 0.8)]
    is_current = (choice.up, choice.front) == current
    if is_current:
        picture = _framed(picture)
    words = [*(["likeliest"] if is_likeliest else []), *(["as it stands now"] if is_current else [])]
    if words:
        lines.append(TextLine(", ".join(words), WARNING if is_likeliest and not is_current else SOFT_INK))
    return Cell(picture, tuple(lines))


def _kind_when(turn: Vector, bounds: Vector) -> SubjectKind:
    """Return the kind that a model's dimensions suggest once it is turned by (3, 3)."""
    width, length, height = np.abs(turn) @ np.ptp(bounds, axis=0)
    return guessed_kind((width, length, height))


def _table(camera: Camera, turn: Vector, bounds_cm: Vector) -> NDArray[np.float32]:
    """Return a piece of table under a model that is turned by (3, 3), linear sRGB: what it would stand on."""
    half = np.abs(turn) @ np.ptp(bounds_cm, axis=0) / 2
    x, y = half[:2] + TABLE_MARGIN * half.max()
    corners = np.array([[-x, -y, -half[2]], [x, -y, -half[2]], [x, y, -half[2]], [-x, y, -half[2]]])
    at = pixels_of(bounds_cm.mean(axis=0) + corners @ turn, camera)
    image = Image.new("RGB", (camera.width, camera.height), PAPER)
    ImageDraw.Draw(image).polygon([(float(x), float(y)) for x, y in at], TABLE)
    return srgb_decode(np.asarray(image) / 255).astype(np.float32)


def _framed(picture: NDArray[np.uint8]) -> NDArray[np.uint8]:
    image = Image.fromarray(picture)
    ImageDraw.Draw(image).rectangle((0, 0, image.width - 1, image.height - 1), outline=INK, width=3)
    return np.asarray(image)
