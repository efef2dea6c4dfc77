"""Warnings about a lamp."""

from __future__ import annotations

from typing import Final

from scenes.lamps.lamp import Lamp

HIGHEST_EFFICACY: Final = 220.0
"""Lumens per electrical watt that no lamp on sale reaches (common practice, no source)."""


def lamp_warnings(lamp: Lamp) -> list[str]:
    """Return what is unlikely or only roughly known about a lamp, in sentences."""
    warnings = list(lamp.notes)
    lumens, watts = lamp.model.lumens, lamp.model.watts
    if lumens is not None and watts is not None and lumens > HIGHEST_EFFICACY * watts:
        warnings.append(
            f"{lamp.name}: {lumens:g} lm from {watts:g} W is {lumens / watts:.0f} lm/W, more than "
            f"any lamp gives ({HIGHEST_EFFICACY:.0f}): is one of the two of another lamp?"
        )
    return warnings
