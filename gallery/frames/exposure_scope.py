"""What one exposure is for: a frame, the finishes of a setup, or a whole sheet."""

from __future__ import annotations

from enum import StrEnum


class ExposureScope(StrEnum):
    """Frames of one exposure."""

    frame = "frame"
    setup = "setup"
    sheet = "sheet"
