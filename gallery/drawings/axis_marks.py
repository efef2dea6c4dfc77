"""The axes of a model's file as small arrows with their letters, below a picture."""

from __future__ import annotations

from typing import Final

import numpy as np
from numpy.typing import NDArray
from PIL import Image, ImageDraw

from gallery.sheet.layout import INK, PAPER, font_for
from materials.arrays import Vector
from scenes.subject.axes import axis_along

LENGTH_PX: Final = 40
HEAD_PX: Final = 9
LETTER_PX: Final = 19
INSET_PX: Final = 14
BELOW_PX: Final = 84


def with_axis_marks(
    picture: NDArray[np.uint8], camera_axes: Vector, from_file_axes: NDArray[np.float64]
) -> NDArray[np.uint8]:
    """Return a picture with the file's axes that point right, up and out of it, in a strip below.

    An axis that points out of the picture is a circle with a dot, as the tip of an arrow.
    """
    right, up, forward = camera_axes.T
    height, width = picture.shape[:2]
    image = Image.new("RGB", (width, height + BELOW_PX), PAPER)
    image.paste(Image.fromarray(picture))
    draw = ImageDraw.Draw(image)
    x, y = INSET_PX, image.height - INSET_PX
    font = font_for(LETTER_PX)
    draw.line((x, y, x + LENGTH_PX, y), INK, 2)
    draw.polygon((x + LENGTH_PX + HEAD_PX, y, x + LENGTH_PX, y - 5, x + LENGTH_PX, y + 5), INK)
    draw.text((x + LENGTH_PX + HEAD_PX + 5, y), axis_along(from_file_axes, right), INK, font, anchor="lm")
    draw.line((x, y, x, y - LENGTH_PX), INK, 2)
    draw.polygon((x, y - LENGTH_PX - HEAD_PX, x - 5, y - LENGTH_PX, x + 5, y - LENGTH_PX), INK)
    draw.text((x, y - LENGTH_PX - HEAD_PX - 3), axis_along(from_file_axes, up), INK, font, anchor="ms")
    draw.ellipse((x - 7, y - 7, x + 7, y + 7), PAPER, INK, 2)
    draw.ellipse((x - 2, y - 2, x + 2, y + 2), INK)
    draw.text((x + 10, y - 14), axis_along(from_file_axes, -forward), INK, font, anchor="lm")
    return np.asarray(image)
