"""Pictures of mesh files: identified by content, of a short list of formats, within limits, decoded to sRGB bytes.

No other module opens a picture of an untrusted file. The formats are those that Pillow decodes itself; others, such as
EPS, it hands to external programs.
"""

from __future__ import annotations

import io
import math
import warnings
from collections.abc import Callable, Hashable
from typing import Any, Final, NamedTuple

import numpy as np
from numpy.typing import ArrayLike, NDArray

from materials.colour.srgb import srgb_decode, srgb_encode
from scenes.errors import InputError

from .fringe import without_fringe

MOST_PIXELS: Final = 8192**2
"""Of a picture that is decoded, which takes four bytes each."""
LARGEST_PICTURE_BYTES: Final = 256 * 2**20
"""Of the file of a picture."""
LARGEST_SIDE: Final = 4096
"""Of a picture that is kept, in pixels."""
MOST_KEPT: Final = 32 * LARGEST_SIDE**2
"""Of all pictures of a mesh file together, in pixels."""
ROWS_AT_ONCE: Final = 64
"""Rows of the reduced picture that are decoded together."""
FORMATS: Final = ("PNG", "JPEG", "WEBP", "BMP", "TGA", "TIFF", "GIF")


class Pixels(NamedTuple):
    """A picture (height, width, 3) in sRGB bytes, None where it cannot be read, and notes on it.

    `opacity` (height, width) is its alpha, None where all of it is opaque; the colours are as if it were.
    """

    pixels: NDArray[np.uint8] | None
    notes: tuple[str, ...] = ()
    opacity: NDArray[np.uint8] | None = None


class Album:
    """Caches the pictures of a mesh file by key, so that pieces that share a picture share the array."""

    def __init__(self) -> None:
        self._cache: dict[Hashable, Pixels] = {}
        self._count = 0

    def pixels(self, key: Hashable, content: Callable[[], bytes], name: str, tint: ArrayLike | None = None) -> Pixels:
        """Return the pixels of a picture, each times a linear colour (3,); `content` returns its bytes.

        The pixels are None where `content` raises InputError: its resolver notes what was missing.

        Raises
        ------
        InputError
            Where a picture, or all of them together, have too many pixels.
        """
        if tint is None:
            return self._cached(key, lambda: _pixels_of(content, name))
        plain = self.pixels(key, content, name)
        if plain.pixels is None:
            return plain
        picture, colour = plain.pixels, np.asarray(tint, np.float64)
        return self._cached((key, *colour.tolist()), lambda: plain._replace(pixels=tinted(picture, colour)))

    def opacity(self, key: Hashable, picture: Pixels, *, is_inverted: bool = False) -> NDArray[np.uint8] | None:
        """Return the alpha of a picture, or of one without, how light it is; 255 less that of an inverted one."""
        if picture.pixels is None:
            return None
        if picture.opacity is not None and not is_inverted:
            return picture.opacity

        def shown() -> Pixels:
            assert picture.pixels is not None
            light = picture.pixels.mean(axis=-1) if picture.opacity is None else picture.opacity
            grey = np.rint(light).astype(np.uint8)
            return Pixels(255 - grey if is_inverted else grey)

        return self._cached(("opacity", key, is_inverted), shown).pixels

    def without_fringe(self, picture: NDArray[np.uint8], opacity: NDArray[np.uint8]) -> NDArray[np.uint8]:
        """Return one of its pictures with the colours of clear texels taken from the opaque ones next to them."""
        key = ("without fringe", id(picture), id(opacity))  # both are in the cache, so that no other has the id
        bled = self._cached(key, lambda: Pixels(without_fringe(picture, opacity))).pixels
        assert bled is not None
        return bled

    def _cached(self, key: Hashable, made: Callable[[], Pixels]) -> Pixels:
        if key not in self._cache:
            result = self._cache[key] = made()
            self._count += 0 if result.pixels is None else math.prod(result.pixels.shape[:2])
            if self._count > MOST_KEPT:
                raise InputError(f"its pictures have more than {MOST_KEPT} pixels together: save them smaller")
        return self._cache[key]


def _pixels_of(content: Callable[[], bytes], name: str) -> Pixels:
    try:
        data = content()
    except InputError:
        return Pixels(None)
    return pixels(data, name)


def pixels(content: bytes, name: str) -> Pixels:
    """Return the pixels of the content of a picture file, reduced to `LARGEST_SIDE`.

    Raises
    ------
    InputError
        Where it has too many.
    """
    unreadable = Pixels(None, (f"its picture '{name}' could not be read and is left out: save it as PNG or JPEG",))
    image = _opened(content, name)
    if image is None:
        return unreadable
    factor = -(-max(image.size) // LARGEST_SIDE)
    try:
        result, opacity = _reduced(image, factor)
    except Exception:  # decoders fail on broken pictures in many ways
        return unreadable
    height, width = result.shape[:2]
    reduced = f"its picture '{name}' of {image.width} x {image.height} pixels is used at {width} x {height}"
    return Pixels(result, () if factor == 1 else (reduced,), opacity)


def tinted(picture: NDArray[np.uint8], tint: ArrayLike) -> NDArray[np.uint8]:
    """Return a picture times a linear colour (3,), 0 to 1."""
    light = srgb_decode(np.arange(256) / 255)[:, None] * np.clip(np.asarray(tint, np.float64), 0, 1)
    table = np.rint(255 * srgb_encode(light)).astype(np.uint8)
    return np.stack([table[picture[..., i], i] for i in range(3)], axis=-1)


def _opened(content: bytes, name: str) -> Any:
    """Return an image of which only the header is decoded, None where the bytes are no picture."""
    from PIL import Image

    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        try:
            image = Image.open(io.BytesIO(content), formats=FORMATS)
        except Image.DecompressionBombError:
            raise InputError(f"the picture '{name}' is too large: save it smaller, up to 4096 pixels a side") from None
        except Exception:  # decoders fail on broken headers in many ways
            return None
    _refuse_many(image, name)
    return image


def _refuse_many(image: Any, name: str) -> None:
    if image.width * image.height > MOST_PIXELS:
        raise InputError(
            f"the picture '{name}' of {image.width} x {image.height} pixels is too large: "
            "save it smaller, up to 4096 a side"
        )


def _reduced(image: Any, factor: int) -> tuple[NDArray[np.uint8], NDArray[np.uint8] | None]:
    """Return an image (height, width, 3) reduced by an integer factor, and its alpha, None where it is opaque.

    It is converted a few rows at a time, to bound memory.
    """
    width, height = image.size
    result = np.empty((-(-height // factor), -(-width // factor), 3), np.uint8)
    opacity = np.empty(result.shape[:2], np.uint8) if _has_alpha(image) else None
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        for row in range(0, len(result), ROWS_AT_ONCE):
            part = image.crop((0, factor * row, width, min(factor * (row + ROWS_AT_ONCE), height)))
            result[row : row + ROWS_AT_ONCE] = np.asarray(_rgb(part).reduce(factor), np.uint8)
            if opacity is not None:
                alpha = part.convert("RGBA").getchannel("A").reduce(factor)
                opacity[row : row + ROWS_AT_ONCE] = np.asarray(alpha, np.uint8)
    return result, None if opacity is None or opacity.min() == 255 else opacity


def _rgb(image: Any) -> Any:
    from PIL import Image

    if image.mode.startswith("I"):  # 16 bits, which convert() would clip
        image = Image.fromarray((np.asarray(image).astype(np.int64) >> 8).clip(0, 255).astype(np.uint8))
    return image.convert("RGB")


def _has_alpha(image: Any) -> bool:
    return not image.mode.startswith("I") and bool(image.has_transparency_data)
