"""What a file is that was given in place of another: an arrangement, a setup or a kit, by the keys that it has."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any, Final

ARRANGEMENT_KEYS: Final = frozenset({"subject", "camera", "room", "meters", "kit", "title"})
SETUP_KEYS: Final = frozenset({"reads_as", "alternatives", "turn_deg"})


def is_arrangement(data: Mapping[str, Any]) -> bool:
    """Return whether data has keys of an arrangement and none of a setup's."""
    return bool(data.keys() & ARRANGEMENT_KEYS) and not data.keys() & SETUP_KEYS


def is_kit(data: Mapping[str, Any]) -> bool:
    """Return whether data has lamps or cards alone, and no lamp has a role, as in a setup."""
    lamps = data.get("lamps", [])
    named = isinstance(lamps, list) and all(isinstance(lamp, Mapping) and "role" not in lamp for lamp in lamps)
    return bool(data) and data.keys() <= {"lamps", "cards"} and named


def is_setup(data: Mapping[str, Any]) -> bool:
    """Return whether data has keys of a setup and none of an arrangement's."""
    return bool(data.keys() & SETUP_KEYS) and not data.keys() & ARRANGEMENT_KEYS
