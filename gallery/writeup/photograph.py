"""The person's own photograph, read from a file that may be of anyone."""

from __future__ import annotations

import warnings
from dataclasses import dataclass
from io import BytesIO
from pathlib import Path
from typing import TYPE_CHECKING, Any, Final

import numpy as np
from numpy.typing import NDArray

from scenes.errors import InputError

from .photo_settings import PhotoSettings, photo_settings

if TYPE_CHECKING:
    from PIL.Image import Image

LARGEST_BYTES: Final = 100_000_000
MOST_PIXELS: Final = 150_000_000
WORKING_SIDE: Final = 3000
"""Pixels of the longer side, to which a larger photograph is made smaller."""
READABLE: Final = ("JPEG", "PNG", "WEBP", "TIFF")
HEIF_BRANDS: Final = (b"heic", b"heix", b"hevc", b"heim", b"heis", b"mif1", b"msf1", b"avif")
"""Of the box `ftyp` at the start of a file (ISO/IEC 23008-12)."""


@dataclass(frozen=True, eq=False)
class Photograph:
    """A photograph, upright.

    Parameters
    ----------
    rgb : (height, width, 3)
        8-bit sRGB.
    settings
        What its EXIF says that it was taken with.
    """

    rgb: NDArray[np.uint8]
    settings: PhotoSettings


def read_photograph(path: Path) -> Photograph:
    """Return the photograph in a file, turned upright as its EXIF asks, its colours as sRGB.

    Raises
    ------
    InputError
        Where there is none, it cannot be read or is too large.
    """
    content = _content(path)
    if content[4:8] == b"ftyp" and content[8:12] in HEIF_BRANDS:
        raise InputError(f"--photo {path}: is HEIC or AVIF, which is not read here; export it as JPEG")
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")  # of damaged EXIF, which counts as none
        image = _opened(content, path)
        try:
            settings = photo_settings(image)  # before they are decoded, with which a picture loses them
            return Photograph(_upright_pixels(image), settings)
        except Exception:  # decoders fail on broken pictures in many ways
            raise _unreadable(path) from None


def _opened(content: bytes, path: Path) -> Image:
    """Return a picture of which only the header is decoded."""
    from PIL import Image

    try:
        image = Image.open(BytesIO(content), formats=READABLE)
    except Exception:  # decoders fail on broken headers in many ways
        raise _unreadable(path) from None
    if image.width * image.height > MOST_PIXELS:
        raise InputError(
            f"--photo {path}: of {image.width} x {image.height} pixels, has more than {MOST_PIXELS / 1e6:.0f} "
            "megapixels; export it smaller"
        )
    return image


def _unreadable(path: Path) -> InputError:
    return InputError(f"--photo {path}: is no JPEG, PNG, WebP or TIFF picture that can be read; export it as JPEG")


def _content(path: Path) -> bytes:
    try:
        if path.exists() and not path.is_file():
            raise InputError(f"--photo {path}: is no file; name a photograph")
        with path.open("rb") as file:
            content = file.read(LARGEST_BYTES + 1)
    except (FileNotFoundError, ValueError):
        raise InputError(f"--photo {path}: there is no such file; check the spelling") from None
    except OSError as error:
        raise InputError(f"--photo {path}: cannot be read ({error.strerror}); check who may read it") from None
    if len(content) > LARGEST_BYTES:
        raise InputError(f"--photo {path}: is larger than {LARGEST_BYTES / 1e6:.0f} MB; export it as JPEG")
    return content


def _upright_pixels(image: Image) -> NDArray[np.uint8]:
    from PIL import Image, ImageOps

    image.draft("RGB", (WORKING_SIDE, WORKING_SIDE))  # a large JPEG is decoded small
    profile = image.info.get("icc_profile")
    upright = ImageOps.exif_transpose(image)
    upright.thumbnail((WORKING_SIDE, WORKING_SIDE), Image.Resampling.BOX)
    return np.asarray(_as_srgb(upright, profile), np.uint8)


def _as_srgb(image: Image, profile: Any) -> Image:
    """Return a picture in sRGB; a profile that cannot be used counts as sRGB."""
    from PIL import ImageCms

    plain = image.convert("RGB")
    if image.mode != "RGB" or not isinstance(profile, bytes):
        return plain
    try:
        own = ImageCms.ImageCmsProfile(BytesIO(profile))
        converted = ImageCms.profileToProfile(plain, own, ImageCms.createProfile("sRGB"))
    except (ImageCms.PyCMSError, OSError):
        return plain
    return converted or plain
