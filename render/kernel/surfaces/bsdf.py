"""How surfaces send light on: a body of the finish's colour, and a shine of another.

Every finish is  first(wavelength) * coloured + second(wavelength) * shown,  two numbers that no wavelength changes, so
that one evaluation serves all wavelengths of a path:

- matt: coloured = cos / pi;
- plastic: coloured = T(in) L T(out), with L even, cos / pi, or as far as it has flakes the GGX sheen of their facets;
  shown = the surface's GGX sheen (Walter et al. 2007, with Smith's shadowing) by the Fresnel reflectance of a
  dielectric; second is 1;
- metal: coloured = a GGX sheen without loss, shown = T(in) T(out) cos / pi, what leaves after several facets;
- diffuser: coloured = cos / pi on the side where the light came from, shown = the same on the other;
- clear: shown as of plastic; the rest passes straight on, and takes the colour of the base.

T is `diffuse_coupling` or `body_coupling` of `materials.surface.energy`: with it a white finish sends on all light at
every angle.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from materials.light.spectra import Spectrum
from materials.surface.energy import (
    COSINES,
    MIN_ALPHA,
    body_coupling,
    diffuse_coupling,
    directional_albedo,
    hemispherical_albedo,
)
from materials.surface.finish import Finish
from render.description.scene import Surface
from render.kernel.backend import mitsuba
from render.kernel.scene import Vertex
from render.kernel.wavelengths import Wavelengths, spectrum_table

from .textures import painting

MATT, PLASTIC, METAL, DIFFUSER, CLEAR = range(5)
KINDS = {"matt": MATT, "plastic": PLASTIC, "metal": METAL, "diffuser": DIFFUSER, "clear": CLEAR}


class Finishes:
    """The finishes of a scene's surfaces, as tables that lanes look up."""

    def __init__(self, surfaces: Sequence[Surface], wavelengths: int) -> None:
        mi = mitsuba()
        finishes = [surface.finish for surface in surfaces]
        distinct = list(dict.fromkeys(finishes)) or [Finish.board(0.0)]
        first, second = (spectrum_table(spectra, wavelengths) for spectra in _colours(distinct))
        through = np.array([_through(f) for f in distinct])
        self.row_of_surface = mi.UInt32(np.array([distinct.index(f) for f in finishes] or [0], dtype=np.uint32))
        self._slots, self._count = first.shape[1:]
        self._colours = _buffer(np.concatenate([first, second], axis=-1))
        self._values = _buffer(np.array([_values(f) for f in distinct]))
        self._through = _buffer(np.stack([through[:, :-1], through[:, 1:]], axis=-1))
        self.painting = painting(surfaces, wavelengths)

    def met(self, vertex: Vertex, surface: Any, back: Any, wavelengths: Wavelengths, active: Any) -> Met:
        """Return the finish of each lane's surface, met from the local direction `back`."""
        import drjit as dr

        mi = mitsuba()
        row = dr.gather(mi.UInt32, self.row_of_surface, surface, active)
        alpha, index, kind, lost = dr.gather(mi.Vector4f, self._values, 2 * row, active)
        inner, flakes, _, _ = dr.gather(mi.Vector4f, self._values, 2 * row + 1, active)
        start = (row * self._slots + wavelengths.slot) * (self._count // 2)
        groups = [dr.gather(mi.Vector4f, self._colours, start + i, active) for i in range(self._count // 2)]
        colours = [value for group in groups for value in group]
        first, second = colours[: self._count], colours[self._count :]
        if self.painting is not None:
            first = self.painting.over(first, vertex, surface, wavelengths, active)
        entering = self.through(row, back.z)
        fresnel = dielectric_reflectance(back.z, index)
        body, passed = (sum(colour) / self._count for colour in (first, second))
        sheen = fresnel / dr.maximum(fresnel + (1.0 - fresnel) * body, 1e-6)
        chance = dr.select((kind == PLASTIC) | (kind == CLEAR), sheen, 0.0)
        chance = dr.select(kind == DIFFUSER, passed / dr.maximum(body + passed, 1e-6), chance)
        mirrored = dr.select(kind == METAL, 1.0 - entering * lost, flakes)
        return Met(self, row, back, entering, first, second, alpha, index, kind, chance, inner, flakes, mirrored)

    def passed(self, surface: Any, cosine: Any, wavelengths: Wavelengths, active: Any) -> list[Any]:
        """Return the part of light that passes a clear surface straight on, at each wavelength."""
        import drjit as dr

        mi = mitsuba()
        row = dr.gather(mi.UInt32, self.row_of_surface, surface, active)
        let = self.through(row, cosine)
        start = (row * self._slots + wavelengths.slot) * (self._count // 2)
        groups = [dr.gather(mi.Vector4f, self._colours, start + i, active) for i in range(self._count // 4)]
        return [let * value for group in groups for value in group]

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

    `entering` is T of `back`. `chance` is that of a direction mirrored by the surface, or with a diffuser of one on the
    other side; `mirrored` that of one mirrored by metal, `flakes` of the body or all of it, once the surface let it in.
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
    inner_alpha: Any
    flakes: Any
    mirrored: Any

    @property
    def is_clear(self) -> Any:
        """Whether light passes it straight on."""
        return self.kind == CLEAR

    def shine(self, out: Any) -> Shine:
        """Return what goes to the local direction `out`; what passes straight on is none of it."""
        import drjit as dr

        half = dr.normalize(self.back + out)
        drawn, inner_drawn = self._drawn(half, self.alpha), self._drawn(half, self.inner_alpha)
        sheen, inner = (d * unshadowed(out, a) for d, a in ((drawn, self.alpha), (inner_drawn, self.inner_alpha)))
        fresnel = dielectric_reflectance(dr.dot(out, half), self.index)
        spread = dr.abs(out.z) * dr.inv_pi
        let = self.entering * self.finishes.through(self.row, out.z)
        same, metal, diffuser = out.z > 0.0, self.kind == METAL, self.kind == DIFFUSER
        passes = ~same & diffuser
        body = dr.select(metal, inner, let * dr.lerp(spread, inner, self.flakes))
        surface = dr.select((self.kind == PLASTIC) | self.is_clear, fresnel * sheen, 0.0)
        density = dr.lerp(dr.lerp(spread, inner_drawn, self.mirrored), drawn, self.chance)
        density = dr.select(diffuser, spread * (1.0 - self.chance), density)
        density = dr.select(self.is_clear, drawn * self.chance, density)
        seen = self.back.z > 0.0
        return Shine(
            dr.select(seen & same & ~self.is_clear, body, 0.0),
            dr.select(seen & same, dr.select(metal, let * spread, surface), dr.select(seen & passes, spread, 0.0)),
            dr.select(seen & same, density, dr.select(seen & passes, spread * self.chance, 0.0)),
        )

    def drawn(self, choice: Any, u: Any, v: Any) -> Any:
        """Return a local direction for three numbers in [0, 1)."""
        import drjit as dr

        mi = mitsuba()
        scattered = mi.warp.square_to_cosine_hemisphere(mi.Point2f(u, v))
        on_surface = choice < self.chance
        inside = (choice - self.chance) < self.mirrored * (1.0 - self.chance)
        half = self._visible_normal(u, v, dr.select(on_surface, self.alpha, self.inner_alpha))
        mirrored = half * (2.0 * dr.dot(self.back, half)) - self.back
        diffuser = self.kind == DIFFUSER
        scattered.z = dr.select(on_surface & diffuser, -scattered.z, scattered.z)
        return dr.select((on_surface | inside) & ~diffuser, mirrored, scattered)

    def _drawn(self, half: Any, alpha: Any) -> Any:
        """Return the density with which `back` is mirrored at facets of a normal (GGX, those that are seen)."""
        import drjit as dr

        across = (half.x * half.x + half.y * half.y) / (alpha * alpha) + half.z * half.z
        peak = dr.rcp(dr.pi * dr.square(alpha * across))
        return peak * unshadowed(self.back, alpha) / (4.0 * self.back.z)

    def _visible_normal(self, u: Any, v: Any, alpha: Any) -> Any:
        """Return a facet normal as seen from `back` (Dupuy and Benyoub, spherical caps, 2023)."""
        import drjit as dr

        mi = mitsuba()
        seen = dr.normalize(mi.Vector3f(alpha * self.back.x, alpha * self.back.y, self.back.z))
        z = dr.fma(1.0 - v, 1.0 + seen.z, -seen.z)
        sine, turn = dr.safe_sqrt(1.0 - z * z), dr.two_pi * u
        cap = mi.Vector3f(sine * dr.cos(turn) + seen.x, sine * dr.sin(turn) + seen.y, z + seen.z)
        return dr.normalize(mi.Vector3f(alpha * cap.x, alpha * cap.y, dr.maximum(cap.z, 1e-9)))


def unshadowed(direction: Any, alpha: Any) -> Any:
    """Return the share of facets that a direction sees: Smith's G1."""
    import drjit as dr

    tangent_2 = (direction.x * direction.x + direction.y * direction.y) / dr.square(direction.z)
    return 2.0 / (1.0 + dr.sqrt(1.0 + alpha * alpha * tangent_2))


def dielectric_reflectance(cosine: Any, index: Any) -> Any:
    """Return Fresnel's unpolarized reflectance of a dielectric from outside."""
    import drjit as dr

    c = dr.clip(cosine, 0.0, 1.0)
    g = dr.sqrt(index * index - 1.0 + c * c)
    across, along = (g - c) / (g + c), (c * (g + c) - 1.0) / (c * (g - c) + 1.0)
    return 0.5 * across * across * (1.0 + along * along)


def _colours(finishes: Sequence[Finish]) -> tuple[list[Spectrum], list[Spectrum]]:
    return [finish.base for finish in finishes], [finish.secondary_tint for finish in finishes]


def _values(finish: Finish) -> list[float]:
    """Return alpha, index, kind, and of a metal what T is multiplied with to be the share that leaves late.

    Then, of metal inside or throughout, its alpha and its share of the body.
    """
    lost = 1.0 - hemispherical_albedo(directional_albedo(finish.roughness)) if finish.kind == "metal" else 0.0
    alphas = [max(alpha, MIN_ALPHA) for alpha in (finish.roughness, finish.body_roughness)]
    return [alphas[0], finish.index, KINDS[finish.kind], np.sqrt(lost), alphas[1], finish.flake_fraction, 0.0, 0.0]


def _through(finish: Finish) -> NDArray[np.float64]:
    """Return T at `COSINES`; of what is clear, what it passes."""
    match finish.kind:
        case "plastic":
            return body_coupling(finish.roughness, finish.index, finish.flake_fraction, finish.body_roughness)
        case "metal":
            return diffuse_coupling(directional_albedo(finish.roughness))
        case "clear":
            return 1.0 - directional_albedo(finish.roughness, finish.index)
        case _:
            return np.ones(len(COSINES))


def _buffer(values: NDArray[Any]) -> Any:
    return mitsuba().Float(np.ascontiguousarray(values, dtype=np.float32).ravel())
