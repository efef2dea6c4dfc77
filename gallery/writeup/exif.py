"""EXIF of a rendering: the settings that it was exposed with, and that it is no photograph.

Exif 3.0 (CIPA DC-008). The brightness value is that of the APEX system in its annex: Bv = Av + Tv - Sv, where ISO 100
is taken for Sv = 5, and so EV100 - 5.
"""

from __future__ import annotations

from importlib.metadata import version
from typing import Final

from render.frame import Frame

SRGB: Final = 1
BY_HAND: Final = 1
AUTOMATIC: Final = 0
PROCESSED: Final = 1
"""Of CustomRendered: made by a process of its own."""
OTHER_LIGHT: Final = 255
APEX_ISO_100: Final = 5.0


def rendering_exif(frame: Frame, description: str) -> bytes:
    """Return the EXIF block of a frame's picture; `description` says what it shows."""
    from PIL.ExifTags import IFD, Base
    from PIL.Image import Exif

    exif, exposure = Exif(), frame.exposure
    exif[Base.ImageDescription] = _ascii(f"rendering, not a photograph: {description}")
    exif[Base.Software] = _ascii(f"spruelight {version('spruelight')}")
    exif.get_ifd(IFD.Exif).update(
        {
            Base.ExposureTime: exposure.shutter_s,
            Base.FNumber: exposure.f_number,
            Base.ISOSpeedRatings: round(exposure.iso),
            Base.BrightnessValue: exposure.ev100 - APEX_ISO_100,
            Base.LightSource: OTHER_LIGHT,
            Base.ColorSpace: SRGB,
            Base.CustomRendered: PROCESSED,
            Base.ExposureMode: BY_HAND,
            Base.WhiteBalance: AUTOMATIC if frame.shot.camera.white_balance == "auto" else BY_HAND,
        }
    )
    return exif.tobytes()


def _ascii(text: str) -> str:
    """Return text in the characters that EXIF has."""
    return text.encode("ascii", "replace").decode("ascii")
