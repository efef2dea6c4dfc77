"""What brings two lights of different colour temperature together: a setting, a gel, a switch."""

from __future__ import annotations

from dataclasses import dataclass

from scenes.lamps.gels import VISIBLE_MIRED, nearest_gel
from scenes.units import mired

from .white_lights import WhiteLight


@dataclass(frozen=True)
class Remedy:
    """What to do, what it leaves between the two lights, in mired, and the light that it takes, stops."""

    action: str
    mired_left: float
    loss_stops: float = 0.0

    @property
    def mends(self) -> bool:
        """Whether what it leaves cannot be seen."""
        return self.mired_left < VISIBLE_MIRED

    @property
    def words(self) -> str:
        """The action and what it leaves and costs."""
        left = f"{self.mired_left:.0f} mired left" if round(self.mired_left) else "none left"
        return f"{self.action}: {left}" + (
            f", {self.loss_stops:.1f} stops of its light lost" if self.loss_stops else ""
        )


def remedies(main: WhiteLight, other: WhiteLight) -> list[Remedy]:
    """Return what brings another light and the main one together, the best first.

    A switch and a setting cost nothing and come first; then what takes the least light of those that leave the least
    to be seen. A bi-colour lamp takes a gel for what its range leaves.
    """
    if other.lamp is None:
        return [Remedy("switch the room's light off", 0.0), *_matched(main, other)]
    found = [*_matched(other, main), *_matched(main, other)]
    return sorted(found, key=lambda remedy: (not remedy.mends, remedy.loss_stops, remedy.mired_left))


def _matched(light: WhiteLight, to: WhiteLight) -> list[Remedy]:
    """Return what a lamp's own range and a gel on it do to match another light; none for the room."""
    if light.lamp is None:
        return []
    low, high = light.lamp.model.kelvin_range or (light.kelvin, light.kelvin)
    kelvin = min(max(to.kelvin, low), high)
    setting = f"set {light.name} to {kelvin:.0f} K"
    wanted = mired(to.kelvin) - mired(kelvin)
    if abs(wanted) < VISIBLE_MIRED:
        return [Remedy(setting, abs(wanted))]
    gel = nearest_gel(wanted)
    action = f"a {gel.name} gel ({gel.mired:+.0f} mired) on {light.name}"
    if abs(mired(kelvin) - mired(light.kelvin)) > 1:
        action = f"{setting} with a {gel.name} gel ({gel.mired:+.0f} mired) on it"
    return [Remedy(action, abs(wanted - gel.mired), gel.loss_stops)]
