"""What a lamp that does not name its spectrum was taken for, and what another light source would change."""

from __future__ import annotations

from typing import Final

import numpy as np

from materials.colour.light_change import light_change
from materials.light.led import WHITE_LED_RANGE, white_led
from materials.light.spectra import blackbody
from scenes.lamps.lamp import Lamp
from scenes.lamps.light_source import FILAMENT_EFFICACY, LED_RA
from scenes.units import stops

REPLACED_WATTS: Final = (25.0, 40.0, 60.0, 75.0, 100.0, 150.0)
"""Electrical watts of the filament bulbs that LEDs are sold as replacing."""
REPLACING_LUMENS: Final = (249.0, 470.0, 806.0, 1055.0, 1521.0, 2452.0)
"""Lumens of an LED that may be sold so: Regulation (EC) 244/2009, annex II, table 6 (memory)."""


def light_source_warnings(lamp: Lamp) -> list[str]:
    """Return what is guessed about what makes a lamp's light, and what it would change, in sentences."""
    return _equivalent_watts(lamp) or _guess(lamp)


def _guess(lamp: Lamp) -> list[str]:
    """Return a sentence on the light source that a lamp was taken for, where nothing but its watts say it."""
    kelvin, source = lamp.model.kelvin, lamp.source
    if not source.is_guessed or not WHITE_LED_RANGE[0] <= kelvin <= WHITE_LED_RANGE[1]:
        return []
    change = light_change(blackbody(kelvin), white_led(kelvin, LED_RA))
    worst, mean = f"{change.worst:.1f}", f"{change.mean:.1f}"
    changes = f"{change.sample} changes by {worst} CIEDE2000, colours by {mean} in the mean (1 is visible)"
    if source.kind == "filament":
        led = f"as an LED of Ra {LED_RA:g}, as most lamps are, {changes}"
        advice = 'spectrum = "led", with ra from its label'
        return [f"{lamp.name}: taken for a blackbody of {kelvin:g} K by kelvin alone; {led}: {advice}"]
    if lamp.model.lumens is not None:
        return []
    darker = stops(source.lumens_per_watt / FILAMENT_EFFICACY)
    filament = f'as a filament lamp (spectrum = "blackbody") it is {darker:.1f} stops darker and {changes}'
    return [f"{lamp.name}: taken for an LED of Ra {LED_RA:g}, as most lamps are; {filament}"]


def _equivalent_watts(lamp: Lamp) -> list[str]:
    """Return a sentence where the watts of an LED are likely those of the filament bulb that it replaces."""
    watts, kind = lamp.model.watts, lamp.model.kind
    is_led = lamp.source.kind == "LED" and lamp.model.lumens is None and kind in ("bulb", "disc")
    if watts is None or not is_led or watts < REPLACED_WATTS[0]:
        return []
    replacing = float(np.interp(watts, REPLACED_WATTS, REPLACING_LUMENS))
    return [
        f'{lamp.name}: {watts:g} W is much for an LED {kind}; if its label says "{watts:g} W equivalent", it gives '
        f'about {replacing:.0f} lm and draws less: give its lumens; if it is a filament {kind}, spectrum = "blackbody"'
    ]
