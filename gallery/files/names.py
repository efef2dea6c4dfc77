"""Names of written files that every file system takes, Windows' too."""

from __future__ import annotations

import hashlib
import re
from typing import Final

DEVICES: Final = frozenset(
    {"con", "prn", "aux", "nul", *(f"{port}{i}" for port in ("com", "lpt") for i in "0123456789¹²³")}
)
"""What Windows takes for a device, whatever follows after a dot (Microsoft, Naming Files, Paths, and Namespaces)."""
LONGEST_BYTES: Final = 180
"""Of a name before its ending, of the 255 that file systems take."""


def file_name(*parts: str, ending: str = ".png") -> str:
    """Return the name of a file of several parts, as `loop--gloss.png`.

    What some file system refuses in a name becomes a dash. A name that is too long is cut, and ends in a hash of all.
    """
    stem = "--".join(re.sub(r"[^\w.=+-]+", "-", part).strip("-") or "all" for part in parts)
    if len(stem.encode()) > LONGEST_BYTES:
        digest = hashlib.sha256(stem.encode()).hexdigest()[:8]
        stem = f"{stem.encode()[:LONGEST_BYTES].decode(errors='ignore')}-{digest}"
    if stem.partition(".")[0].lower() in DEVICES:
        stem = f"_{stem}"
    return stem + ending
