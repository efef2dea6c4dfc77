"""A lamp's light in numbers and in a line: lumens, colour temperature, colour rendering."""

from __future__ import annotations

from collections.abc import Sequence

from materials.light.colour_rendering import colour_rendering_index
from materials.light.colour_temperature import cct_duv
from materials.light.spectra import luminous_efficacy_of_radiation
from scenes.lamps.gels import VISIBLE_MIRED
from scenes.lamps.lamp import Lamp
from scenes.lengths import size_words
from scenes.setups.placed import PlacedLamp
from scenes.units import mired


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
    return f"{lamp.role} {_kelvin_of(lamp.lamp)} {_format_dimmer(lamp)}" if lamp.dimmer else f"{lamp.role} off"


def lamps_caption(lamps: Sequence[PlacedLamp]) -> str:
    """Return the lamps of a setup in a line: `key 100 % + fill off, 4000 K`; of mixed whites, how far apart they are.

    `key 4000 K 100 % + fill 3000 K 37 %, 83 mired apart`, where that can be seen.
    """
    colours = {_kelvin_of(lamp.lamp) for lamp in lamps if lamp.dimmer}
    if len(lamps) == 1 or len(colours) != 1:
        whites = [mired(lamp.lamp.cct) for lamp in lamps if lamp.dimmer and lamp.lamp.cct is not None]
        apart = max(whites, default=0.0) - min(whites, default=0.0)
        return " + ".join(map(lamp_caption, lamps)) + (f", {apart:.0f} mired apart" if apart >= VISIBLE_MIRED else "")
    return " + ".join(f"{lamp.role} {_format_dimmer(lamp)}" for lamp in lamps) + f", {colours.pop()}"


def lamp_line(lamp: Lamp) -> str:
    """Return a lamp in one line: `bulb, 6 cm across, 300 lm, LED of 3000 K (Duv +0.0000), Ra 80, 341 lm/optical W`."""
    facts = light_facts(lamp)
    colour = f"{_source_of(lamp)} of {_kelvin_of(lamp)}"
    items = [lamp.model.kind, _format_size(lamp), f"{facts['lumens']:.0f} lm", colour]
    if facts["duv"] is not None and facts["ra"] is not None:
        items[-1] += f" (Duv {round(facts['duv'], 4) + 0.0:+.4f})"
        items.append(f"Ra {facts['ra']:.0f}")
    return ", ".join([*items, f"{facts['lumens_per_optical_watt']:.0f} lm/optical W"])


def _format_dimmer(lamp: PlacedLamp) -> str:
    return f"{100 * lamp.dimmer:.0f} %" if lamp.dimmer else "off"


def _kelvin_of(lamp: Lamp) -> str:
    return "coloured light" if lamp.cct is None else f"{lamp.cct:.0f} K"


def _source_of(lamp: Lamp) -> str:
    """Return what makes a lamp's light: `LED`, `bi-colour LED`, `blackbody`, or the name of its spectrum."""
    kind = lamp.source.kind
    return str(lamp.model.spectrum) if kind == "named" else "blackbody" if kind == "filament" else kind


def _format_size(lamp: Lamp) -> str:
    """Return how large a lamp is: `20 x 14 cm`, `6 cm across`."""
    width, height = lamp.extent_cm
    rectangular = lamp.model.kind == "panel" and lamp.model.snoot is None
    return size_words(width, height) if rectangular else f"{size_words(width)} across"
