"""What is asked about the light of a hero that gets none is answered with the reason."""

from __future__ import annotations

from gallery.checks.unlit import unlit_reason, unlit_reasons
from render.camera.exposure import LEAST_LUX
from render.hero_light import HeroLight
from scenes.errors import InputError


def require_light(light: HeroLight) -> None:
    """Refuse a setup of which no light at all reaches the hero.

    Raises
    ------
    InputError
        With the reason.
    """
    if light.metered_lux >= LEAST_LUX:
        return
    why = "; ".join(filter(None, unlit_reasons(light.setup))) or f"none falls where it is metered, {light.basis}"
    raise InputError(f"setup '{light.setup.name}': no light reaches the hero: {why}")


def require_lamp(light: HeroLight, i: int) -> None:
    """Refuse a lamp of which no light reaches the hero but by detours.

    Raises
    ------
    InputError
        With the reason.
    """
    lamp = light.setup.lamps[i]
    why = unlit_reason(lamp, light.shot.receptors[i], light.setup.cards)
    if why is None and light.facing_lux[i] <= 0:
        why = f"the {lamp.role} ({lamp.name}) gives none"
    if why is not None:
        raise InputError(f"setup '{light.setup.name}': no light reaches the hero from there: {why}")
