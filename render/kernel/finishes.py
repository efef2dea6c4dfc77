"""How surfaces send light on: a body of the finish's colour, a clear coat over it, or a coloured mirror.

Every finish is  reflectance(wavelength) * coloured + clear,  two numbers that no wavelength changes, so that one
evaluation serves all wavelengths of a path:

- matt: coloured = cos / pi;
- plastic: coloured = T(in) T(out) cos / pi, what the surface lets through both ways, and clear = its GGX sheen
  (Walter et al. 2007, with Smith's shadowing) by the Fresnel reflectance of a dielectric;
- metal: coloured = a GGX sheen without loss.

What is clear in reality, a canopy or a lens, is a plastic here: opaque, its colour under its gloss.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache
from typing import Any

import numpy as np
from numpy.typing import NDArray

from materials.finishes import Finish

from .backend import mitsuba
from .wavelengths import Wavelengths, spectrum_table

SMOOTHEST = 1e-3  # GGX alpha: below it float32 cannot tell a peak from a mirror
COSINES = 64


class Finishes:
    """The finishes of a scene's surfaces, as tables that lanes look up."""

    def __init__(self, finishes: Sequence[Finish], wavelengths: int) -> None:
        mi = mitsuba()
        distinct = list(dict.fromkeys(finishes)) or [Finish.board(0.0)]
        bodies = spectrum_table([f.body for f in distinct], wavelengths)
        through = np.array([_through(f) for f in distinct])
        self.row_of_surface = mi.UInt32(np.array([distinct.index(f) for f in finishes] or [0], dtype=np.uint32))
        self._slots, self._count = bodies.shape[1:]
        self._bodies = _buffer(bodies)
        self._values = _buffer(np.array([_values(f) for f in distinct]))
        self._through = _buffer(np.stack([through[:, :-1], through[:, 1:]], axis=-1))

    def met(self, surface: Any, back: Any, wavelengths: Wavelengths, active: Any) -> Met:
        """Return the finish of each lane's surface, met from the local direction `back`."""
        import drjit as dr

        mi = mitsuba()
        row = dr.gather(mi.UInt32, self.row_of_surface, surface, active)
        alpha, index, clear, coloured = dr.gather(mi.Vector4f, self._values, row, active)
        first = (row * self._slots + wavelengths.slot) * (self._count // 4)
        groups = [dr.gather(mi.Vector4f, self._bodies, first + i, active) for i in range(self._count // 4)]
        body = [value for group in groups for value in group]
        fresnel = dielectric_reflectance(back.z, index)
        shown = clear * fresnel
        chance = coloured + shown / dr.maximum(shown + (1.0 - fresnel) * sum(body) / self._count, 1e-6)
        return Met(self, row, back, body, alpha, index, clear, coloured, chance)

    def through(self, row: Any, cosine: Any) -> Any:
        """Return how much light a surface lets through at an angle, on the scale that its body's albedo needs."""
        import drjit as dr

        mi = mitsuba()
        place = dr.clip(cosine, 0.0, 1.0) * (COSINES - 1)
        cell = dr.minimum(mi.UInt32(place), COSINES - 2)
        low, high = dr.gather(mi.Vector2f, self._through, row * (COSINES - 1) + cell)
        return dr.lerp(low, high, place - mi.Float(cell))


@dataclass
class Shine:
    """What is sent one way, `reflectance * coloured + clear`, cosine included; the density with which it is drawn."""

    coloured: Any
    clear: Any
    density: Any


@dataclass
class Met:
    """A finish met from the local direction `back`: what it sends to any other, and where a path goes on."""

    finishes: Finishes
    row: Any
    back: Any
    body: list[Any]
    alpha: Any
    index: Any
    clear: Any
    coloured: Any
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
        lambert = out.z * dr.inv_pi
        body = self.finishes.through(self.row, self.back.z) * self.finishes.through(self.row, out.z) * lambert
        valid = (out.z > 0.0) & (self.back.z > 0.0)
        return Shine(
            dr.select(valid, body + self.coloured * sheen, 0.0),
            dr.select(valid, self.clear * fresnel * sheen, 0.0),
            dr.select(valid, dr.lerp(lambert, drawn, self.chance), 0.0),
        )

    def drawn(self, choice: Any, u: Any, v: Any) -> Any:
        """Return a local direction for three numbers in [0, 1)."""
        import drjit as dr

        mi = mitsuba()
        scattered = mi.warp.square_to_cosine_hemisphere(mi.Point2f(u, v))
        half = self._visible_normal(u, v)
        mirrored = half * (2.0 * dr.dot(self.back, half)) - self.back
        return dr.select(choice < self.chance, mirrored, scattered)

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


def _values(finish: Finish) -> tuple[float, float, float, float]:
    """Return alpha, index, and how much clear and coloured sheen there is."""
    return max(finish.roughness, SMOOTHEST), finish.index, finish.kind == "plastic", finish.kind == "metal"


def _through(finish: Finish) -> NDArray[np.float64]:
    if finish.kind == "plastic":
        return _through_plastic(max(finish.roughness, SMOOTHEST), finish.index)
    return np.full(COSINES, float(finish.kind == "matt"))


@cache
def _through_plastic(alpha: float, index: float) -> NDArray[np.float64]:
    """Return T at evenly spaced cosines, from Mitsuba's `roughplastic`: its body alone is T(in) T(out) cos / pi."""
    import drjit as dr

    mi = mitsuba()
    model = mi.load_dict({
        "type": "roughplastic", "distribution": "ggx", "alpha": alpha, "int_ior": index, "ext_ior": 1.0,
        "nonlinear": False, "diffuse_reflectance": 1.0, "specular_reflectance": 0.0,
    })  # fmt: skip
    cosine = np.maximum(np.linspace(0.0, 1.0, COSINES), 1e-6)
    met = dr.zeros(mi.SurfaceInteraction3f, COSINES)
    met.wi = mi.Vector3f(mi.Float(np.sqrt(1.0 - cosine**2)), 0.0, mi.Float(cosine))
    sent = np.array(model.eval(mi.BSDFContext(), met, met.wi)[0], dtype=np.float64)
    return np.sqrt(np.pi * sent / cosine)


def _buffer(values: NDArray[Any]) -> Any:
    return mitsuba().Float(np.ascontiguousarray(values, dtype=np.float32).ravel())
