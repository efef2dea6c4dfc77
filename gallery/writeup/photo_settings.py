"""The settings that a photograph was taken with, by its EXIF; of where, when and with which camera nothing is read."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any, Final

if TYPE_CHECKING:
    from PIL.Image import Image

LIGHT_SOURCES: Final = {
    1: "daylight", 2: "fluorescent", 3: "tungsten", 4: "flash", 9: "fine weather", 10: "cloudy weather", 11: "shade",
    12: "daylight fluorescent", 13: "day white fluorescent", 14: "cool white fluorescent", 15: "white fluorescent",
    16: "warm white fluorescent", 17: "standard light A", 20: "D55", 21: "D65", 22: "D75", 23: "D50",
    24: "studio tungsten",
}  # fmt: skip
"""Of the tag LightSource (Exif 3.0, CIPA DC-008)."""
WHITE_BALANCES: Final = {0: "automatic", 1: "by hand"}
"""Of the tag WhiteBalance."""


@dataclass(frozen=True)
class PhotoSettings:
    """Shutter in s, f-number, ISO, white balance and light source in words; None of what the file does not say."""

    shutter_s: float | None = None
    f_number: float | None = None
    iso: float | None = None
    white_balance: str | None = None
    light_source: str | None = None

    @property
    def exposure(self) -> float | None:
        """What they expose, t S / N2 in s, to compare with another's; None where one of the three is not known."""
        if self.shutter_s is None or self.f_number is None or self.iso is None:
            return None
        return self.shutter_s * self.iso / self.f_number**2

    @property
    def missing(self) -> list[str]:
        """The names of the three that are not known."""
        known = {"shutter": self.shutter_s, "f-number": self.f_number, "ISO": self.iso}
        return [name for name, value in known.items() if value is None]


def photo_settings(image: Image) -> PhotoSettings:
    """Return the settings in the EXIF of an opened picture; damaged EXIF counts as none."""
    from PIL.ExifTags import IFD, Base

    try:
        tags = dict(image.getexif().get_ifd(IFD.Exif))
    except Exception:  # its parser fails on damaged data in many ways
        return PhotoSettings()
    return PhotoSettings(
        _positive(tags.get(Base.ExposureTime)),
        _positive(tags.get(Base.FNumber)),
        _positive(tags.get(Base.ISOSpeedRatings)),
        _named(WHITE_BALANCES, tags.get(Base.WhiteBalance)),
        _named(LIGHT_SOURCES, tags.get(Base.LightSource)),
    )


def _positive(value: Any) -> float | None:
    """Return a number, or the first of several, where it is one that a camera can have."""
    try:
        number = float(value[0] if isinstance(value, tuple) else value)
    except (TypeError, ValueError, IndexError, ZeroDivisionError, OverflowError):
        return None
    return number if math.isfinite(number) and number > 0 else None


def _named(names: dict[int, str], value: Any) -> str | None:
    return names.get(value) if isinstance(value, int) else None
