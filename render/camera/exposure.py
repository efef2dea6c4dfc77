"""Exposure, in absolute units, and the one that a camera takes for an illuminance.

By ISO 12232 the sensor is exposed to H = q L t / N2, q = 0.65; L is the luminance, t the shutter time in s, S the ISO
speed, N the f-number, focused near by the magnification m the effective one, N (1 + m). The standard output sensitivity
(SOS) puts an 18 % card at S H = 10, and so the frame's white at 10/.18 = 55.6.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Final

from scenes.arrangement.arrangement import CameraModel
from scenes.units import ratio
from scenes.units import stops as in_stops

from .steps import iso_name, nearest_step, shutter_name, step_value

SATURATION: Final = 78.0
"""lx s at ISO 1 where the sensor saturates, ISO 12232."""
WHITE: Final = 10.0 / 0.18
"""lx s at ISO 1 where the frame is white, by the SOS of ISO 12232."""
INCIDENT: Final = 250.0
"""C of ISO 2720 for a flat receptor, lx s at ISO 1."""
REFLECTED: Final = 12.5
"""K of ISO 2720, cd s/m2 at ISO 1."""
LENS: Final = 0.65
"""q of ISO 12232."""
BASE_ISO: Final = 100.0
"""The ISO that steps are counted from."""
LEAST_LUX: Final = 1e-6
"""Illuminance that counts as no light: a hundredth of that under an overcast night sky (common practice, no source)."""
LONGEST_BY_HAND_S: Final = 1 / 60
"""Common practice, no source."""
NO_LIGHT: Final = "gets no light"


@dataclass(frozen=True)
class Exposure:
    """Shutter in s, ISO, f-number, and the magnification that the lens is focused for."""

    shutter_s: float
    iso: float
    f_number: float
    magnification: float = 0.0

    @property
    def effective_f_number(self) -> float:
        """The f-number that the light of a near subject meets: N (1 + m), for a symmetrical lens."""
        return self.f_number * (1.0 + self.magnification)

    @property
    def white_cd_m2(self) -> float:
        """The luminance that is rendered as the frame's white, cd/m2."""
        return WHITE / LENS * self._demand

    @property
    def saturation_cd_m2(self) -> float:
        """The luminance at which the sensor saturates, cd/m2: half a stop above the frame's white."""
        return SATURATION / LENS * self._demand

    @property
    def ev100(self) -> float:
        """The exposure value of the settings at ISO 100: log2(100 N2 / (t S))."""
        return math.log2(100.0 * self.f_number**2 / (self.shutter_s * self.iso))

    @property
    def incident_lux(self) -> float:
        """The reading of an incident light meter that asks for this exposure, lx (ISO 2720, C = 250)."""
        return INCIDENT * self._demand

    @property
    def _demand(self) -> float:
        """N2 / (t S), 1/s: what the exposure asks of the light."""
        return self.effective_f_number**2 / (self.shutter_s * self.iso)


@dataclass(frozen=True)
class ChosenExposure:
    """An exposure, and how far it is from what the light asks for.

    Parameters
    ----------
    short_stops
        Too dark by so many stops, too bright where negative, 0 within the camera's reach; infinite without any light.
    remedy
        Out of reach, how far and what would mend it: "is 2.0 stops too dark at ...".
    """

    exposure: Exposure
    short_stops: float = 0.0
    remedy: str | None = None


def choose_exposure(camera: CameraModel, lux: float, stops: float, magnification: float) -> ChosenExposure:
    """Return the exposure that the arrangement fixes, or the one for an illuminance E: N2 / (t S) = E / 250.

    On a tripod the shutter opens as long as it can at the base ISO, then the ISO rises; by hand it opens for 1/60 s at
    most. The f-number is never chosen. Settings are in thirds of a stop.

    Parameters
    ----------
    lux
        What an incident meter reads; a reflected reading of luminance L counts as 250 / 12.5 L.
    stops
        Brighter than metered by so much.
    magnification
        Of the subject, for the effective f-number.
    """
    if camera.shutter_s is not None and camera.iso is not None:
        return ChosenExposure(Exposure(camera.shutter_s, camera.iso, camera.aperture, magnification))
    shortest, longest = _shutter_steps(camera)
    base, highest = (nearest_step(iso, BASE_ISO) for iso in camera.body.isos)

    def at(shutter: int, iso: int) -> Exposure:
        return Exposure(step_value(shutter), step_value(iso, BASE_ISO), camera.aperture, magnification)

    if lux < LEAST_LUX:
        return ChosenExposure(at(longest, base), math.inf, NO_LIGHT)
    step = nearest_step(at(0, 0).incident_lux * ratio(stops) / lux)  # over 1 s at ISO 100
    shutter = min(max(step - base, shortest), longest)
    iso = min(max(step - shutter, base), highest)
    exposure = at(shutter, iso)
    if step == shutter + iso:
        return ChosenExposure(exposure)
    short = in_stops(exposure.incident_lux * ratio(stops) / lux)
    return ChosenExposure(exposure, short, _remedy(camera, exposure, short))


def _shutter_steps(camera: CameraModel) -> tuple[int, int]:
    """Return the shortest and the longest shutter of a camera on its support, in thirds of a stop over 1 s."""
    shortest, longest = (nearest_step(seconds) for seconds in camera.body.shutters_s)
    return shortest, min(longest, nearest_step(LONGEST_BY_HAND_S)) if camera.support == "hand" else longest


def _remedy(camera: CameraModel, exposure: Exposure, short_stops: float) -> str:
    """Return what would mend an exposure at the end of a camera's reach."""
    widest, smallest = camera.body.f_numbers
    if short_stops > 0:
        ways = ["a tripod"] if camera.support == "hand" else []
        ways += ["nearer or stronger lamps"] + (["a wider aperture"] if widest < min(camera.aperture, smallest) else [])
    else:
        ways = ["farther or dimmed lamps"] + (["a smaller aperture"] if camera.aperture < smallest > widest else [])
    settings = f"{shutter_name(exposure.shutter_s)}, {iso_name(exposure.iso)}"
    amount = f"is {abs(short_stops):.1f} stops too {'dark' if short_stops > 0 else 'bright'}"
    return f"{amount} at {settings}: {', or '.join(ways)}"
