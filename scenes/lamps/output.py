"""What leaves a lamp: lumens and distribution behind its modifiers, and the opening that it leaves by."""

from __future__ import annotations

from typing import Final

import numpy as np

from materials.surface.boards import named_boards
from scenes.arrangement.lamp_model import CompleteLamp, LuxAt
from scenes.errors import InputError
from scenes.units import M_PER_CM

from .direct_light import on_axis_factor
from .distribution import Distribution
from .emitter_shape import EmitterShape
from .light_source import light_source_of
from .modifiers import grid, snoot

DEFAULT_LUMENS: Final = 1000.0
"""Of a lamp without lumens, watts or a reading."""
WATTS_ARE_RIGHT_WITHIN: Final = 0.3


def emitted_lumens(model: CompleteLamp, distribution: Distribution | None, share: float) -> tuple[float, list[str]]:
    """Return the lumens that leave a lamp with its modifiers, and notes on what is estimated."""
    if model.lux_at is not None:
        return _lumens_from_lux(model.lux_at, opening_of(model, distribution), model.name), []
    if model.lumens is not None:
        return model.lumens * share, []
    if model.watts is None:
        return DEFAULT_LUMENS * share, [
            f"{model.name}: nothing says how bright it is, so {DEFAULT_LUMENS:g} lm: give lumens, watts or lux_at"
        ]
    efficacy = light_source_of(model).lumens_per_watt
    return model.watts * efficacy * share, [
        f"{model.name}: lumens are taken from {model.watts:g} W at {efficacy:g} lm/W, right within "
        f"{100 * WATTS_ARE_RIGHT_WITHIN:.0f} %, half a stop: a light meter's lux_at is better"
    ]


def _lumens_from_lux(reading: LuxAt, opening: EmitterShape, name: str) -> float:
    """Return the lumens that leave a lamp of which a meter on its axis reads a number of lux."""
    factor = on_axis_factor(opening, reading.cm)
    if factor <= 0:
        raise InputError(
            f"lamp '{name}': no light of it reaches lux_at.cm = {reading.cm:g} straight ahead; measure farther off"
        )
    return reading.lux * opening.etendue * M_PER_CM**2 / factor


def behind_modifiers(model: CompleteLamp, unmodified: Distribution | None) -> tuple[Distribution | None, float]:
    """Return the distribution behind grid, snoot and diffuser, and the share of the bare lumens that gets out.

    A tube takes what enters its rear end, from an opening of even radiance. Behind a diffuser the light is Lambertian.
    """
    distribution, share = unmodified, 1.0
    if model.kind != "bulb" and unmodified is not None:
        share = unmodified.front_share()
        if share <= 0:
            raise InputError(f"lamp '{model.name}': {model.photometry} sends no light forward; make it a bulb")
    tube = grid(model.grid_deg) if model.grid_deg else None
    if model.snoot is not None:
        tube = snoot(model.snoot.length_cm, model.snoot.diameter_cm)
        width, height = model.size_cm or (model.diameter_cm or 1.0, model.diameter_cm or 1.0)
        area = width * height if model.kind == "panel" else np.pi / 4 * (width**2 - (model.hole_cm or 0.0) ** 2)
        share *= min(1.0, np.pi / 4 * model.snoot.diameter_cm**2 / area)
    if tube is not None:
        before = unmodified or Distribution.lambertian()
        try:
            distribution = before.times(tube)
        except ValueError:
            raise InputError(
                f"lamp '{model.name}': no light of it gets through its grid_deg or snoot; take a wider one"
            ) from None
        share *= distribution.flux(90.0) / before.flux(90.0)
    if model.diffuser is not None:
        return None, share * named_boards()[model.diffuser].transmittance
    return distribution, share


def opening_of(model: CompleteLamp, distribution: Distribution | None) -> EmitterShape:
    """Return the luminous opening of a lamp at the origin, in cm, facing +z."""
    width, height = model.extent_cm
    kind = "disc" if model.snoot is not None else model.kind
    half = (width / 2, (model.hole_cm or 0.0) / 2 if kind == "ring" else height / 2)
    table = None
    if distribution is not None:
        table = distribution.table(4 * np.pi) if kind == "bulb" else distribution.table(np.pi, to_deg=90.0)
    return EmitterShape(kind, np.zeros(3), np.eye(3), half, table)
