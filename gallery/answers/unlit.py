"""What is asked about the light of a hero that gets none is answered with the reason."""

from __future__ import annotations

from gallery.checks.unlit import unlit_reason
from render.hero_light import HeroLight
from scenes.errors import InputError


def require_light(light: HeroLight) -> None:
    """Refuse a setup of which no light at all reaches the hero.

    Raises
    ------
    InputError
        With the reason.
    """
    if light.metered_lux > 0:
        return
    receptors = light.shot.receptors
    reasons = [
        unlit_reason(lamp, receptor, light.setup.cards)
        for lamp, receptor in zip(light.setup.lamps, receptors, strict=False)
        if lamp.dimmer > 0
    ]
    why = next((reason for reason in reasons if reason), "its lamps are off")
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
