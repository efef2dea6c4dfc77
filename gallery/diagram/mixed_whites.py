"""Lamps of a setup whose whites differ visibly, in a sentence."""

from __future__ import annotations

from gallery.checks.mixed_light import mismatches
from scenes.arrangement.arrangement import RoomModel
from scenes.setups.placed import PlacedSetup


def mixed_white_notes(setup: PlacedSetup) -> list[str]:
    """Return a sentence on what lamps of another white than the main one turn orange or blue, if any do."""
    found = mismatches(setup, RoomModel())
    if not found:
        return []
    main = found[0].main
    tints = [f"the {one.other.role} ({one.other.kelvin:.0f} K) turns {one.other.part} {one.tint}" for one in found]
    return [
        f"Whites differ: beside the {main.role} ({main.kelvin:.0f} K) {', '.join(tints)}. "
        f"spruelight check FILE --setup {setup.name} names what mends it."
    ]
