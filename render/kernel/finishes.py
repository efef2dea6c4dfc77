"""How surfaces send light on: a body of the finish's colour, and a shine of another.

Every finish is  first(wavelength) * coloured + second(wavelength) * shown,  two numbers that no wavelength changes, so
that one evaluation serves all wavelengths of a path:

- matt: coloured = cos / pi;
- plastic: coloured = T(in) T(out) cos / pi, shown = its GGX sheen (Walter et al. 2007, with Smith's shadowing) by the
  Fresnel reflectance of a dielectric; second is 1;
- metal: coloured = a GGX sheen without loss, shown = T(in) T(out) cos / pi, what leaves after several facets;
- diffuser: coloured = cos / pi on the side where the light came from, shown = the same on the other.

T is what `materials.energy.escaping` returns: with it a white finish sends on all light at every angle. What is clear
in reality, a canopy or a lens, is a plastic here: opaque, its colour under its gloss.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from materials.energy import COSINES, SMOOTHEST, escaping, facet_albedo, mean_albedo
from materials.finishes import Finish
from materials.spectra import Spectrum

from .backend import mitsuba
from .wavelengths import Wavelengths, spectrum_table

MATT, PLASTIC, METAL, DIFFUSER = range(4)
KINDS = {"matt": MATT, "plastic": PLASTIC, "metal": METAL, "diffuser": DIFFUSER}


class Finishes:
    """The finishes of a scene's surfaces, as tables that lanes look up."""

    def __init__(self, finishes: Sequence[Finish], wavelengths: int) -> None:
        mi = mitsuba()
        distinct = list(dict.fromkeys(finishes)) or [Finish.board(0.0)]
        first, second = (spectrum_table(spectra, wavelengths) for spectra in _colours(distinct))
        through = np.array([_through(f) for f in distinct])
        self.row_of_surface = mi.UInt32(np.array([distinct.index(f) for f in finishes] or [0], dtype=np.uint32))
        self._slots, self._count = first.shape[1:]
        self._colours = _buffer(np.concatenate([first, second], axis=-1))
        self._values = _buffer(np.array([_values(f) for f in distinct]))
        self._through = _buffer(np.stack([through[:, :-1], through[:, 1:]], axis=-1))

    def met(self, surface: Any, back: Any, wavelengths: Wavelengths, active: Any) -> Met:
        """Return the finish of each lane's surface, met from the local direction `back`."""
        import drjit as dr

        mi = mitsuba()
        row = dr.gather(mi.UInt32, self.row_of_surface, surface, active)
        alpha, index, kind, lost = dr.gather(mi.Vector4f, self._values, row, active)
        start = (row * self._slots + wavelengths.slot) * (self._count // 2)
        groups = [dr.gather(mi.Vector4f, self._colours, start + i, active) for i in range(self._count // 2)]
        colours = [value for group in groups for value in group]
        first, second = colours[: self._count], colours[self._count :]
        entering = self.through(row, back.z)
        fresnel = dielectric_reflectance(back.z, index)
        body, passed = (sum(colour) / self._count for colour in (first, second))
        sheen = fresnel / dr.maximum(fresnel + (1.0 - fresnel) * body, 1e-6)
        chance = dr.select(kind == PLASTIC, sheen, dr.select(kind == METAL, 1.0 - entering * lost, 0.0))
        chance = dr.select(kind == DIFFUSER, passed / dr.maximum(body + passed, 1e-6), chance)
        return Met(self, row, back, entering, first, second, alpha, index, kind, chance)

    def through(self, row: Any, cosine: Any) -> Any:
        """Return how much light a surface lets through at an angle, on the scale that its body's albedo needs."""
        import drjit as dr

        mi = mitsuba()
        place = dr.clip(cosine, 0.0, 1.0) * (len(COSINES) - 1)
        cell = dr.minimum(mi.UInt32(place), len(COSINES) - 2)
        low, high = dr.gather(mi.Vector2f, self._through, row * (len(COSINES) - 1) + cell)
        return dr.lerp(low, high, place - mi.Float(cell))


@dataclass
class Shine:
    """What is sent one way, `first * coloured + second * shown`, cosine included; the density that it is drawn with."""

    coloured: Any
    shown: Any
    density: Any


@dataclass
class Met:
    """A finish met from the local direction `back`: what it sends to any other, and where a path goes on.

    `entering` is T of `back`, `chance` is that of a mirrored direction, or with a diffuser of one on the other side.
    """

    finishes: Finishes
    row: Any
    back: Any
    entering: Any
    first: list[Any]
    second: list[Any]
    alpha: Any
    index: Any
    kind: Any
    chance: Any

    def shine(self, out: Any) -> Shine:
        """Return what goes to the local direction `out`."""
        import drjit as dr

        half = dr.normalize(self.back + out)
        across = (half.x * half.x + half.y * half.y) / (self.alpha * self.alpha) + half.z * half.z
        peak = dr.rcp(dr.pi * dr.square(self.alpha * across))
        drawn = peak * self._unshadowed(self.back) / (4.0 * self.back.z)
        sheen = drawn * self._unshadowed(out)
        fresnel = dielectric_reflectance(dr.dot(out, half), self.index)
        spread = dr.abs(out.z) * dr.inv_pi
        body = self.entering * self.finishes.through(self.row, out.z) * spread
        same, metal = out.z > 0.0, self.kind == METAL
        passes = ~same & (self.kind == DIFFUSER)
        shown = dr.select(metal, body, dr.select(self.kind == PLASTIC, fresnel * sheen, 0.0))
        density = dr.lerp(spread, drawn, self.chance)
        density = dr.select(self.kind == DIFFUSER, spread * (1.0 - self.chance), density)
        seen = self.back.z > 0.0
        return Shine(
            dr.select(seen & same, dr.select(metal, sheen, body), 0.0),
            dr.select(seen & same, shown, dr.select(seen & passes, spread, 0.0)),
            dr.select(seen & same, density, dr.select(seen & passes, spread * self.chance, 0.0)),
        )

    def drawn(self, choice: Any, u: Any, v: Any) -> Any:
        """Return a local direction for three numbers in [0, 1)."""
        import drjit as dr

        mi = mitsuba()
        scattered = mi.warp.square_to_cosine_hemisphere(mi.Point2f(u, v))
        half = self._visible_normal(u, v)
        mirrored = half * (2.0 * dr.dot(self.back, half)) - self.back
        chosen = choice < self.chance
        scattered.z = dr.select(chosen & (self.kind == DIFFUSER), -scattered.z, scattered.z)
        return dr.select(chosen & (self.kind != DIFFUSER), mirrored, scattered)

    def _visible_normal(self, u: Any, v: Any) -> Any:
        """Return a facet normal as seen from `back` (Dupuy and Benyoub, spherical caps, 2023)."""
        import drjit as dr

        mi = mitsuba()
        seen = dr.normalize(mi.Vector3f(self.alpha * self.back.x, self.alpha * self.back.y, self.back.z))
        z = dr.fma(1.0 - v, 1.0 + seen.z, -seen.z)
        sine, turn = dr.safe_sqrt(1.0 - z * z), dr.two_pi * u
        cap = mi.Vector3f(sine * dr.cos(turn) + seen.x, sine * dr.sin(turn) + seen.y, z + seen.z)
        return dr.normalize(mi.Vector3f(self.alpha * cap.x, self.alpha * cap.y, dr.maximum(cap.z, 1e-9)))

    def _unshadowed(self, direction: Any) -> Any:
        """Return the share of facets that a direction sees: Smith's G1."""
        import drjit as dr

        tangent_2 = (direction.x * direction.x + direction.y * direction.y) / dr.square(direction.z)
        return 2.0 / (1.0 + dr.sqrt(1.0 + self.alpha * self.alpha * tangent_2))


def dielectric_reflectance(cosine: Any, index: Any) -> Any:
    """Return Fresnel's unpolarized reflectance of a dielectric from outside."""
    import drjit as dr

    c = dr.clip(cosine, 0.0, 1.0)
    g = dr.sqrt(index * index - 1.0 + c * c)
    across, along = (g - c) / (g + c), (c * (g + c) - 1.0) / (c * (g - c) + 1.0)
    return 0.5 * across * across * (1.0 + along * along)


def _colours(finishes: Sequence[Finish]) -> tuple[list[Spectrum], list[Spectrum]]:
    return [finish.base for finish in finishes], [finish.second for finish in finishes]


def _values(finish: Finish) -> tuple[float, float, float, float]:
    """Return alpha, index, kind, and of a metal what T is multiplied with to be the share that leaves late."""
    lost = 1.0 - mean_albedo(facet_albedo(finish.roughness)) if finish.kind == "metal" else 0.0
    return max(finish.roughness, SMOOTHEST), finish.index, KINDS[finish.kind], float(np.sqrt(lost))


def _through(finish: Finish) -> NDArray[np.float64]:
    """Return T at `COSINES`."""
    match finish.kind:
        case "plastic":
            return escaping(facet_albedo(finish.roughness, finish.index))
        case "metal":
            return escaping(facet_albedo(finish.roughness))
        case _:
            return np.ones(len(COSINES))


def _buffer(values: NDArray[Any]) -> Any:
    return mitsuba().Float(np.ascontiguousarray(values, dtype=np.float32).ravel())
