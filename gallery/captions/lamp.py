"""A lamp's light in numbers and in a line: lumens, colour temperature, colour rendering."""

from __future__ import annotations

from materials.light.colour_rendering import colour_rendering_index
from materials.light.colour_temperature import cct_duv
from materials.light.spectra import luminous_efficacy_of_radiation
from scenes.lamps.lamp import Lamp
from scenes.setups.placed import PlacedLamp


def light_facts(lamp: Lamp) -> dict[str, float | None]:
    """Return a lamp's emitted lumens, CCT, Duv, Ra and lumens per optical watt; None for a light without a CCT."""
    facts: dict[str, float | None] = {"lumens": lamp.lumens, "kelvin": None, "duv": None, "ra": None}
    try:
        facts["kelvin"], facts["duv"] = cct_duv(lamp.spectrum)
        facts["ra"] = colour_rendering_index(lamp.spectrum)
    except ValueError:
        pass  # coloured light has none of the three
    return {**facts, "lumens_per_optical_watt": luminous_efficacy_of_radiation(lamp.spectrum)}


def lamp_caption(lamp: PlacedLamp) -> str:
    """Return a placed lamp in a few words: `key 4000 K 100 %`, `fill off`."""
    if not lamp.dimmer:
        return f"{lamp.role} off"
    return f"{lamp.role} {_format_kelvin(light_facts(lamp.lamp)['kelvin'])} {100 * lamp.dimmer:.0f} %"


def lamp_line(lamp: Lamp) -> str:
    """Return a lamp in one line: `panel, 20 x 14 cm, 900 lm, 4000 K (Duv -0.0026), Ra 95, 294 lm per optical watt`."""
    facts = light_facts(lamp)
    items = [lamp.model.kind, _format_size(lamp), f"{facts['lumens']:.0f} lm", _format_kelvin(facts["kelvin"])]
    if facts["duv"] is not None and facts["ra"] is not None:
        items[-1] += f" (Duv {round(facts['duv'], 4) + 0.0:+.4f})"
        items.append(f"Ra {facts['ra']:.0f}")
    return ", ".join([*items, f"{facts['lumens_per_optical_watt']:.0f} lm per optical watt"])


def _format_kelvin(kelvin: float | None) -> str:
    return "coloured light" if kelvin is None else f"{kelvin:.0f} K"


def _format_size(lamp: Lamp) -> str:
    """Return how large a lamp is: `20 x 14 cm`, `6 cm across`."""
    width, height = lamp.extent_cm
    rectangular = lamp.model.kind == "panel" and lamp.model.snoot is None
    return f"{width:g} x {height:g} cm" if rectangular else f"{width:g} cm across"
