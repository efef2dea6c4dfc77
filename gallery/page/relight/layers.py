"""The pictures that the frames of a page are summed from, each embedded once."""

from __future__ import annotations

import hashlib
from base64 import b64encode
from typing import Any

import numpy as np
from numpy.typing import NDArray

from gallery.files.pictures import lossless_webp


class Layers:
    """Pictures of codes, numbered as they are added; what is the same has one number."""

    def __init__(self) -> None:
        self._entries: list[dict[str, Any]] = []
        self._numbers: dict[bytes, int] = {}

    def add(self, codes: NDArray[np.uint8]) -> int:
        """Return the number of a picture of codes, (height, width, 3)."""
        digest = hashlib.sha256(codes.tobytes()).digest() + bytes(str(codes.shape), "ascii")
        if digest not in self._numbers:
            self._numbers[digest] = len(self._entries)
            self._entries.append(
                {"webp": b64encode(lossless_webp(codes)).decode("ascii"), "mean": round(float(codes.mean()), 3)}
            )
        return self._numbers[digest]

    def facts(self) -> list[dict[str, Any]]:
        """Return each picture in base64, with the mean of its codes, by which a page sees that it was read right."""
        return self._entries
