"""What makes a lamp's light: one rule for its spectrum and for its lumens per watt.

A lamp that names its spectrum has that. One that does not is an LED where its label says so, by a colour rendering
index or by watts, and else a blackbody of its colour temperature, as a filament is.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final, Literal

from materials.light.illuminants import illuminant
from materials.light.led import WHITE_LED_RANGE, best_ra, bicolour_led, white_led
from materials.light.spectra import Spectrum, blackbody
from scenes.arrangement.lamp_model import CompleteLamp

LED_EFFICACY: Final = 100.0
"""Lumens per electrical watt of LED and fluorescent lamps, as labels have them (common practice, no source)."""
FILAMENT_EFFICACY: Final = 14.0
"""Lumens per electrical watt of filament lamps (common practice, no source)."""
LEAST_LED_EFFICACY: Final = 40.0
"""Lumens per electrical watt between those of halogen lamps, 25 at most, and of LEDs (common practice, no source)."""
LED_RA: Final = 80.0
"""The colour rendering of an LED whose label does not say it: that of bulbs for the home (common practice)."""
BICOLOUR_RA: Final = 95.0
"""That of a bi-colour lamp, which is made for pictures (common practice)."""


@dataclass(frozen=True)
class LightSource:
    """What makes a lamp's light.

    Parameters
    ----------
    kind
        "named" of an illuminant of the CIE or a measured file.
    is_guessed
        Whether the lamp does not name its spectrum.
    ra
        The general colour rendering index of its LEDs; None of another.
    """

    kind: Literal["filament", "LED", "bi-colour LED", "named"]
    is_guessed: bool
    ra: float | None = None

    @property
    def lumens_per_watt(self) -> float:
        """Lumens per electrical watt."""
        return FILAMENT_EFFICACY if self.kind == "filament" else LED_EFFICACY


def light_source_of(model: CompleteLamp) -> LightSource:
    """Return what makes the light of a lamp."""
    if model.kelvin_range is not None:
        reachable = min(BICOLOUR_RA, *map(best_ra, model.kelvin_range))
        return LightSource("bi-colour LED", is_guessed=False, ra=model.ra or reachable)
    if model.spectrum is not None:
        if model.spectrum == "led":
            return LightSource("LED", is_guessed=False, ra=model.ra or LED_RA)
        return LightSource("filament" if model.spectrum in ("blackbody", "A") else "named", is_guessed=False)
    if model.ra is not None or _is_led_by_watts(model):
        return LightSource("LED", is_guessed=model.ra is None, ra=model.ra or LED_RA)
    return LightSource("filament", is_guessed=True)


def has_kelvin(model: CompleteLamp) -> bool:
    """Return whether a lamp's spectrum follows from its kelvin; that of a named one does not."""
    return light_source_of(model).ra is not None or model.spectrum in (None, "blackbody")


def _is_led_by_watts(model: CompleteLamp) -> bool:
    """Return whether the watts of a lamp make it an LED: of known lumens by their ratio, else because most are."""
    if model.watts is None or not WHITE_LED_RANGE[0] <= model.kelvin <= WHITE_LED_RANGE[1]:
        return False
    return model.lumens is None or model.lumens > LEAST_LED_EFFICACY * model.watts


def spectrum_of(model: CompleteLamp) -> Spectrum:
    """Return the spectrum of a lamp that names no file, (351,) W/nm per lumen."""
    source = light_source_of(model)
    if source.ra is None:
        is_illuminant = model.spectrum not in (None, "blackbody")
        return illuminant(str(model.spectrum)) if is_illuminant else blackbody(model.kelvin)
    if model.kelvin_range is not None:
        return bicolour_led(model.kelvin, *model.kelvin_range, source.ra)
    return white_led(model.kelvin, source.ra)
