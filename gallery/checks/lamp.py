"""The lamps owned as `spruelight check` lists them, and warnings about one."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any, Final

from gallery.captions.lamp import lamp_line, light_facts
from scenes.lamps.lamp import Lamp

from .light_source import light_source_warnings

HIGHEST_EFFICACY: Final = 220.0
"""Lumens per electrical watt that no lamp on sale reaches (common practice, no source)."""


def lamp_facts(lamp: Lamp) -> dict[str, Any]:
    """Return a lamp's name, what it was taken for, and its light in numbers, as plain data."""
    source = lamp.source
    taken = {"source": source.kind, "source_is_guessed": source.is_guessed}
    return {"name": lamp.name, **taken, **light_facts(lamp), "words": lamp_line(lamp)}


def lamp_lines(facts: Sequence[Mapping[str, Any]]) -> list[str]:
    """Return the lamps, a line each; none where none is owned."""
    return [f"lamp {lamp['name']}: {lamp['words']}" for lamp in facts]


def lamp_warnings(lamp: Lamp) -> list[str]:
    """Return what is unlikely or only roughly known about a lamp, in sentences."""
    warnings = [*lamp.notes, *light_source_warnings(lamp)]
    lumens, watts = lamp.model.lumens, lamp.model.watts
    if lumens is not None and watts is not None and lumens > HIGHEST_EFFICACY * watts:
        warnings.append(
            f"{lamp.name}: {lumens:g} lm from {watts:g} W is {lumens / watts:.0f} lm/W, more than "
            f"any lamp gives ({HIGHEST_EFFICACY:.0f}): is one of the two of another lamp?"
        )
    return warnings
