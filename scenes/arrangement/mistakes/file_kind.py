"""What a file is that was given in place of another: an arrangement, a setup or a kit, by the keys that it has."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any, Final

ARRANGEMENT_KEYS: Final = frozenset({"subject", "camera", "room", "meters", "kit", "title"})
SETUP_KEYS: Final = frozenset({"reads_as", "alternatives", "turn_deg"})


def is_arrangement(data: Mapping[str, Any]) -> bool:
    """Return whether data has keys of an arrangement and none of a setup's."""
    return bool(data.keys() & ARRANGEMENT_KEYS) and not data.keys() & SETUP_KEYS


def is_setup(data: Mapping[str, Any]) -> bool:
    """Return whether data has keys of a setup and none of an arrangement's."""
    return bool(data.keys() & SETUP_KEYS) and not data.keys() & ARRANGEMENT_KEYS
