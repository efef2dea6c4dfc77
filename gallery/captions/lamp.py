"""What a lamp's light is, in numbers and in words: lumens, colour temperature, how true it shows colours."""

from __future__ import annotations

from typing import Any

from materials.light.colour_rendering import colour_rendering_index
from materials.light.colour_temperature import cct_duv
from materials.light.spectra import luminous_efficacy_of_radiation
from scenes.lamps.lamp import Lamp

MOST_PER_WATT = 220.0
"""Lumens per electrical watt that no lamp on sale reaches (common practice, no source)."""


def light_facts(lamp: Lamp) -> dict[str, float | None]:
    """Return lumens that leave a lamp, CCT, Duv, Ra and lumens per optical watt; None for a light without a CCT."""
    facts: dict[str, float | None] = {"lumens": lamp.lumens, "kelvin": None, "duv": None, "ra": None}
    try:
        facts["kelvin"], facts["duv"] = cct_duv(lamp.spectrum)
        facts["ra"] = colour_rendering_index(lamp.spectrum)
    except ValueError:
        pass  # coloured light has none of the three
    return {**facts, "lumens_per_optical_watt": luminous_efficacy_of_radiation(lamp.spectrum)}


def kelvin_words(lamp: Lamp) -> str:
    """Return a lamp's colour temperature in a few words."""
    kelvin = light_facts(lamp)["kelvin"]
    return "coloured light" if kelvin is None else f"{kelvin:.0f} K"


def light_words(lamp: Lamp) -> str:
    """Return a lamp in one line: `panel, 20 x 14 cm, 900 lm, 4000 K (Duv -0.0026), Ra 95, 294 lm per optical watt`."""
    facts = light_facts(lamp)
    said = [lamp.model.kind, size_words(lamp), f"{facts['lumens']:.0f} lm", kelvin_words(lamp)]
    if facts["duv"] is not None and facts["ra"] is not None:
        said[-1] += f" (Duv {round(facts['duv'], 4) + 0.0:+.4f})"
        said.append(f"Ra {facts['ra']:.0f}")
    return ", ".join([*said, f"{facts['lumens_per_optical_watt']:.0f} lm per optical watt"])


def size_words(lamp: Lamp) -> str:
    """Return how large a lamp is: `20 x 14 cm`, `6 cm across`."""
    width, height = lamp.extent_cm
    return (
        f"{width:g} x {height:g} cm"
        if lamp.model.kind == "panel" and lamp.model.snoot is None
        else f"{width:g} cm across"
    )


def lamp_doubts(lamp: Lamp) -> list[str]:
    """Return what is unlikely or only roughly known about a lamp, in sentences."""
    doubts: list[Any] = list(lamp.notes)
    lumens, watts = lamp.model.lumens, lamp.model.watts
    if lumens is not None and watts is not None and lumens > MOST_PER_WATT * watts:
        doubts.append(
            f"{lamp.name}: {lumens:g} lm from {watts:g} W is {lumens / watts:.0f} lm/W, more than "
            f"any lamp gives ({MOST_PER_WATT:.0f}): is one of the two of another lamp?"
        )
    return doubts
