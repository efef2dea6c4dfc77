"""Pictures that meshes are painted with: opened by their content, of a few formats and within limits, as sRGB bytes.

Every picture of a stranger's file is opened here and by nothing else: the formats are those that Pillow decodes itself.
Others, such as EPS, it hands to programs.
"""

from __future__ import annotations

import io
import warnings
from collections.abc import Callable, Hashable
from typing import Any, Final, NamedTuple

import numpy as np
from numpy.typing import ArrayLike, NDArray

from materials.colour.srgb import srgb_decode, srgb_encode
from scenes.errors import InputError

MOST_PIXELS: Final = 8192**2
"""Of a picture that is opened at all: it takes four bytes each while it is."""
LARGEST_PICTURE_BYTES: Final = 256 * 2**20
"""Of a picture's file."""
LARGEST_SIDE: Final = 4096
"""Of a picture, pixels, that is kept."""
MOST_KEPT: Final = 32 * LARGEST_SIDE**2
"""Of all pictures of a mesh file together, pixels."""
ROWS_AT_ONCE: Final = 64
"""Of the picture that is kept."""
SEE_THROUGH: Final = (
    "its picture is see-through in places, which is not followed: leaves, nets and decals stand as whole panes"
)
FORMATS: Final = ("PNG", "JPEG", "WEBP", "BMP", "TGA", "TIFF", "GIF")


class Pixels(NamedTuple):
    """A picture (height, width, 3) in sRGB bytes, none where it cannot be read, and what is doubtful about it.

    And whether it is see-through anywhere, which is left out of `pixels`.
    """

    pixels: NDArray[np.uint8] | None
    notes: tuple[str, ...] = ()
    is_see_through: bool = False


class Album:
    """Keeps the pictures of a mesh file by a key, so that pieces that share one share the array."""

    def __init__(self) -> None:
        self._kept: dict[Hashable, Pixels] = {}
        self._count = 0

    def pixels(self, key: Hashable, content: Callable[[], bytes], name: str, tint: ArrayLike | None = None) -> Pixels:
        """Return the pixels of a picture, each times a linear colour (3,); `content` gives its bytes.

        None where `content` raises InputError: the resolver behind it keeps what was missing.

        Raises
        ------
        InputError
            Where a picture, or all of them together, have too many pixels.
        """
        if tint is None:
            return self._keep(key, lambda: _pixels_of(content, name))
        plain = self.pixels(key, content, name)
        if plain.pixels is None:
            return plain
        picture, colour = plain.pixels, np.asarray(tint, np.float64)
        return self._keep((key, *colour.tolist()), lambda: plain._replace(pixels=tinted(picture, colour)))

    def _keep(self, key: Hashable, made: Callable[[], Pixels]) -> Pixels:
        if key not in self._kept:
            found = self._kept[key] = made()
            self._count += 0 if found.pixels is None else found.pixels[..., 0].size
            if self._count > MOST_KEPT:
                raise InputError(f"its pictures have more than {MOST_KEPT} pixels together: save them smaller")
        return self._kept[key]


def _pixels_of(content: Callable[[], bytes], name: str) -> Pixels:
    try:
        content_bytes = content()
    except InputError:
        return Pixels(None)
    return pixels(content_bytes, name)


def pixels(content: bytes, name: str) -> Pixels:
    """Return the pixels of a picture file's content, reduced until no side is too large.

    Raises
    ------
    InputError
        Where it has too many.
    """
    unreadable = Pixels(None, (f"its picture '{name}' could not be read and is left out: save it as PNG or JPEG",))
    image = _opened(content, name)
    if image is None:
        return unreadable
    steps = -(-max(image.size) // LARGEST_SIDE)
    try:
        found, is_see_through = _reduced(image, steps)
    except Exception:  # whatever a decoder makes of a broken picture
        return unreadable
    height, width = found.shape[:2]
    reduced = f"its picture '{name}' of {image.width} x {image.height} pixels is used at {width} x {height}"
    return Pixels(found, () if steps == 1 else (reduced,), is_see_through)


def tinted(picture: NDArray[np.uint8], tint: ArrayLike) -> NDArray[np.uint8]:
    """Return a picture times a linear colour (3,), 0 to 1."""
    light = srgb_decode(np.arange(256) / 255)[:, None] * np.clip(np.asarray(tint, np.float64), 0, 1)
    table = np.rint(255 * srgb_encode(light)).astype(np.uint8)
    return np.stack([table[picture[..., i], i] for i in range(3)], axis=-1)


def _opened(content: bytes, name: str) -> Any:
    """Return an image whose heading was read, none where the bytes are no picture."""
    from PIL import Image

    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        try:
            image = Image.open(io.BytesIO(content), formats=FORMATS)
        except Image.DecompressionBombError:
            raise InputError(f"the picture '{name}' is too large: save it smaller, up to 4096 pixels a side") from None
        except Exception:  # whatever a decoder makes of a broken heading
            return None
    _refuse_many(image, name)
    return image


def _refuse_many(image: Any, name: str) -> None:
    if image.width * image.height > MOST_PIXELS:
        raise InputError(
            f"the picture '{name}' of {image.width} x {image.height} pixels is too large: "
            "save it smaller, up to 4096 a side"
        )


def _reduced(image: Any, steps: int) -> tuple[NDArray[np.uint8], bool]:
    """Return an image (height, width, 3) smaller by a whole number, and whether it is see-through anywhere.

    It is converted by some rows at a time, as a large one takes little memory only while it is packed.
    """
    width, height = image.size
    found = np.empty((-(-height // steps), -(-width // steps), 3), np.uint8)
    is_see_through = False
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        for row in range(0, len(found), ROWS_AT_ONCE):
            part = image.crop((0, steps * row, width, min(steps * (row + ROWS_AT_ONCE), height)))
            found[row : row + ROWS_AT_ONCE] = np.asarray(_rgb(part).reduce(steps), np.uint8)
            is_see_through = is_see_through or _is_see_through(part)
    return found, is_see_through


def _rgb(image: Any) -> Any:
    from PIL import Image

    if image.mode.startswith("I"):  # 16 bits, which a conversion would clip
        image = Image.fromarray((np.asarray(image).astype(np.int64) >> 8).clip(0, 255).astype(np.uint8))
    return image.convert("RGB")


def _is_see_through(image: Any) -> bool:
    if image.mode.startswith("I") or not image.has_transparency_data:
        return False
    return bool(image.convert("RGBA").getchannel("A").getextrema()[0] < 255)
