"""A car's lamps: a clear lens before a reflector with its bulb, red, amber and clear lenses behind."""

from __future__ import annotations

from scenes.builtin.shapes.primitives import ball, mirrored, slab, turned
from scenes.builtin.shapes.sweeps import Mesh, joined

_HEAD = (2.14, -8.93, 2.11)
"""Where a head lamp begins (cm): out, along, up."""
_BOWL = [(0, 0.0), (0.4, 0.0), (0.4, 0.24), (0.37, 0.24), (0.3, 0.12), (0.16, 0.05), (0, 0.04)]
_RING = [(0.39, 0.0), (0.5, 0.0), (0.5, 0.2), (0.46, 0.28), (0.41, 0.28), (0.39, 0.24)]
_LENS = [(0, 0.25), (0.4, 0.25), (0.4, 0.29), (0.33, 0.34), (0.2, 0.38), (0, 0.4)]
"""(radius, place in front)."""


def car_lamps() -> dict[str, Mesh]:
    """Return the lamps of the saloon car by their kind, and the rings about its head lamps."""
    out, y, z = _HEAD
    return {
        "head lamps": joined(mirrored(lambda s: _turned(_LENS, s))),
        "reflectors": joined(
            [*mirrored(lambda s: _turned(_BOWL, s)), *(ball((s * out, y - 0.12, z), [0.08] * 3, 10) for s in (-1, 1))]
        ),
        "lamp rings": joined(mirrored(lambda s: _turned(_RING, s))),
        "tail lamps": joined(mirrored(lambda s: _behind(s, 2.2, 0.62, 2.35))),
        "reversing lamps": joined(mirrored(lambda s: _behind(s, 1.66, 0.4, 2.35))),
        "indicators": joined(
            [
                *mirrored(lambda s: _behind(s, 2.68, 0.26, 2.35)),
                *mirrored(lambda s: _lens((s * 2.84, -8.9, 2.1), (s * 0.8, -1, 0), 0.26, 0.5)),
            ]
        ),
    }


def _turned(profile: list[tuple[float, float]], side: int) -> Mesh:
    """Return a part of a head lamp, turned about its axis."""
    out, y, z = _HEAD
    return turned(profile, (side * out, y, z), (0, -1, 0), 40)


def _behind(side: int, out: float, width: float, z: float) -> Mesh:
    """Return one lens of a lamp at the back."""
    return _lens((side * out, 8.93, z), (side * 0.06, 1, 0), width, 0.5)


def _lens(at: tuple[float, float, float], towards: tuple[float, float, float], width: float, height: float) -> Mesh:
    """Return a flat lens with round corners on the body."""
    w, h = width / 2, height / 2
    return slab([(-w, -h), (w, -h), (w, h), (-w, h)], 0.16, at, towards, (1, 0, 0), round_cm=0.06)
