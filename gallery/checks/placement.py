"""`spruelight check --setup`: where everything of one setup stands, and what is unwise about it."""

from __future__ import annotations

from typing import Any

from scenes.arrangement.resolving import ResolvedArrangement
from scenes.setups.place_setup import place_setup
from scenes.setups.placement_words.facts import placement_facts, placement_lines

from .arrangement import doubt_lines
from .lamp import lamp_warnings
from .mixed_light import mismatches, mixed_light_facts, mixed_light_lines
from .setup import setup_warnings


def setup_facts(arrangement: ResolvedArrangement, name: str) -> dict[str, Any]:
    """Return the placement of a setup and every warning about it, as plain data.

    Raises
    ------
    InputError
        For an unknown setup, or one that cannot be placed.
    """
    placed = place_setup(name, arrangement)
    warnings = [warning for lamp in placed.lamps for warning in lamp_warnings(lamp.lamp)]
    mixed = mismatches(placed, arrangement.declared.room)
    warnings += [*mixed_light_lines(mixed), *setup_warnings(placed, arrangement.declared.room)]
    return {
        "title": arrangement.title,
        "setup": placed.name,
        "reads_as": placed.reads_as,
        "placement": placement_facts(placed, arrangement.declared.camera),
        "mixed_light": mixed_light_facts(mixed),
        "doubts": list(dict.fromkeys(warnings)),
    }


def setup_lines(facts: dict[str, Any]) -> list[str]:
    """Return the facts as lines for a person."""
    heading = f"{facts['title']}, {facts['setup']}: {facts['reads_as']}"
    return [heading, *placement_lines(facts["placement"]), *doubt_lines(facts)]
