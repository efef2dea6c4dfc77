"""A path tracer whose paths serve several emitters at once: the radiance of each is kept apart.

At each surface point a path samples every emitter (next-event estimation), and it sees which emitters its own ray hits.
The two estimates of one light are combined by multiple importance sampling. Emitters that share a path share its noise.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import reduce
from typing import Any

from render.kernel.backend import mitsuba
from render.kernel.emitters.emitter import Emitter
from render.kernel.loops import while_loop
from render.kernel.scene import Scene
from render.kernel.surface_point import RaySegment, ShadingFrame
from render.kernel.surfaces.bsdf import Bsdf
from render.kernel.surfaces.bsdf_table import BELOW_1, BsdfTable
from render.kernel.surfaces.transmittance import Transmittance

from . import specular_part
from .footprint import with_footprint
from .indirect_part import with_indirect_part
from .mis import bsdf_sampling_weight, emitter_sampling_weight
from .path_state import LastScattering, PathState, Radiance

ROULETTE_DEPTH = 2
"""Scatterings from which Russian roulette may end a path; straight through a see-through surface is none."""
SURVIVAL_SCALE, MAX_SURVIVAL = 10.0, 0.95
"""Russian roulette: a path survives with the first of them times its largest throughput, at most with the second."""


@dataclass
class PathIntegrator:
    """Traces paths in a scene; `bsdfs` are those of its surfaces."""

    scene: Scene
    bsdfs: BsdfTable
    emitters: Sequence[Emitter]

    @property
    def transmittance(self) -> Transmittance | None:
        """The transmittance along shadow rays, None where all surfaces are opaque."""
        return Transmittance(self.scene, self.bsdfs) if self.scene.has_see_through else None

    def no_radiance(self, values: int) -> Radiance:
        """Return the radiance at the start of a path of so many values."""
        return [[mitsuba().Float(0.0)] * values for _ in self.emitters]

    def trace(self, start: PathState) -> Radiance:
        """Return the radiance of `start`, plus all that arrives at its surface point after any number of bounces."""
        (end,) = while_loop((start,), lambda path: path.active, lambda path: (self._bounce(path),), label="path")
        return list(end.radiance)

    def add_hit_emitters(self, path: PathState, segment: RaySegment) -> Radiance:
        """Return a path's radiance with that of the emitters that its ray hits within a segment."""
        import drjit as dr

        radiance, throughput = [], with_indirect_part(path.throughput, path, path.last_scattering.number)
        for emitter, before in zip(self.emitters, path.radiance, strict=True):
            emitted, emitter_pdf = emitter.evaluate(segment)
            weighted = emitted * bsdf_sampling_weight(path.last_scattering.pdf, emitter_pdf)
            weighted = dr.select((emitted > 0.0) & path.active, weighted, 0.0)
            radiance.append(_add_scaled(before, weighted, throughput))
        return radiance

    def _bounce(self, path: PathState) -> PathState:
        """Return the path at its next surface point, with the direct light at this one and emitters hit after it."""
        import drjit as dr

        frame = ShadingFrame(path.point)
        surface = dr.gather(mitsuba().UInt32, self.scene.surface_of_triangle, path.point.triangle, path.active)
        outgoing = frame.to_local(path.point.outgoing)
        opacities = self.bsdfs.opacities
        opacity = None if opacities is None else opacities.lookup(path.point, surface, path.active)
        lobe, roulette = path.sampler.sample_2d(path.first_pair + 1)
        is_hole, lobe = _split_by_opacity(lobe, opacity)
        is_washed, lobe = self.bsdfs.choose_washed(path.point, surface, lobe, path.active)
        bsdf = self.bsdfs.bsdf(path.point, surface, outgoing, path.wavelengths, path.active, is_washed=is_washed)
        if specular_part.is_carried(path):
            bsdf = specular_part.with_specular_part(with_footprint(bsdf, path), path)
        radiance = self._add_direct_light(_reaching(path, opacity), frame, bsdf)
        incident = bsdf.sample(lobe, *path.sampler.sample_2d(path.first_pair + 2))
        value = bsdf.evaluate(incident)
        inverse_pdf = dr.select(value.pdf > 0.0, dr.rcp(value.pdf), 0.0)
        throughput = [
            before * (primary * value.primary + secondary * value.secondary + value.achromatic) * inverse_pdf
            for before, primary, secondary in zip(path.throughput, bsdf.primary_tint, bsdf.secondary_tint, strict=True)
        ]
        direction = frame.to_world(incident)
        origin = path.point.ray_origin(direction)
        scattering = LastScattering(origin, value.pdf, mitsuba().Float(0.0), path.last_scattering.number + 1)
        scattered = replace(
            path, throughput=throughput, active=path.active & (value.pdf > 0.0), radiance=radiance,
            last_scattering=scattering,
        )  # fmt: skip
        if self.scene.has_see_through:
            is_straight = is_hole | (bsdf.is_clear & (lobe >= bsdf.interface_probability))
            direction = dr.select(is_straight, -path.point.outgoing, direction)
            origin = dr.select(is_straight, path.point.straight_origin(direction, is_hole), origin)
            scattered = _straight_where(is_straight, is_hole, path, scattered, bsdf)
        return self._next_point(scattered, origin, direction, roulette)

    def _add_direct_light(self, path: PathState, frame: ShadingFrame, bsdf: Bsdf) -> Radiance:
        """Return the path's radiance with that of a sample of each emitter, reflected at the path's point."""
        import drjit as dr

        primary, secondary = (
            [before * factor for before, factor in zip(path.throughput, tint, strict=True)]
            for tint in (bsdf.primary_tint, bsdf.secondary_tint)
        )
        u, v = path.sampler.sample_2d(path.first_pair)
        transmittance, radiance = self.transmittance, []
        for emitter, before in zip(self.emitters, path.radiance, strict=True):
            sample = emitter.sample(path.point.position, u, v)
            if sample is None:
                radiance.append(before)
                continue
            value = bsdf.evaluate(frame.to_local(dr.normalize(sample.point - path.point.position)))
            weight = sample.radiance * emitter_sampling_weight(sample.pdf, value.pdf) / sample.pdf
            is_lit = path.active & (weight * (value.primary + value.secondary + value.achromatic) > 0.0)
            is_blocked = self.scene.all_surfaces.is_occluded(path.point, sample.point, is_lit)
            lobes: tuple[list[Any], ...] = (primary, secondary, path.throughput)
            if transmittance is None:
                is_lit &= ~is_blocked
            else:
                lobes = _attenuated(lobes, transmittance, path, sample.point, is_lit & is_blocked)
            weight = dr.select(is_lit, weight, 0.0)
            after = before
            for lobe, factor in zip(lobes, (value.primary, value.secondary, value.achromatic), strict=True):
                parts = with_indirect_part(lobe, path, path.last_scattering.number + 1)
                after = _add_scaled(after, weight * factor, parts)
            radiance.append(after)
        return radiance

    def _next_point(self, path: PathState, origin: Any, direction: Any, roulette: Any) -> PathState:
        """Return the path at the next surface point, with the emitters that its ray hits.

        Russian roulette ends it only where it was scattered.
        """
        import drjit as dr

        point, segment = self.scene.all_surfaces.intersect(origin, direction, path.active)
        last = path.last_scattering
        distance = last.distance + segment.t_max
        segment_since = RaySegment(last.origin, direction, t_max=distance, t_min=last.distance)
        radiance = self.add_hit_emitters(path, segment_since)
        largest = reduce(dr.maximum, path.throughput[: path.wavelengths.count])
        ends = last.number >= ROULETTE_DEPTH
        if self.scene.has_see_through:
            ends &= last.distance == 0.0
        survival = dr.select(ends, dr.minimum(SURVIVAL_SCALE * largest, MAX_SURVIVAL), 1.0)
        active = path.active & segment.hits & (roulette < survival)
        throughput = [value * dr.rcp(survival) for value in path.throughput]
        return replace(
            path, point=point, throughput=throughput, depth=path.depth + 1, active=active, radiance=radiance,
            last_scattering=replace(last, distance=distance),
        )  # fmt: skip


def _attenuated(
    lobes: tuple[list[Any], ...], transmittance: Transmittance, path: PathState, target: Any, active: Any
) -> tuple[list[Any], ...]:
    """Return the throughput of lobes times the transmittance between the path's point and a target."""
    factors = transmittance.between(path.point, target, path.wavelengths, active)
    if specular_part.is_carried(path):
        factors = [*factors, specular_part.mean(factors)]
    return tuple([value * factor for value, factor in zip(values, factors, strict=True)] for values in lobes)


def _reaching(path: PathState, opacity: Any) -> PathState:
    """Return the path with the throughput that does not go straight through its surface."""
    if opacity is None:
        return path
    throughput = [value * opacity for value in path.throughput]
    return replace(path, throughput=throughput, active=path.active & (opacity > 0.0))


def _split_by_opacity(lobe: Any, opacity: Any) -> tuple[Any, Any]:
    """Return whether a path goes through the holes of a surface, and what is left of a sample in [0, 1) elsewhere."""
    import drjit as dr

    if opacity is None:
        return mitsuba().Bool(False), lobe
    is_hole = lobe >= opacity
    return is_hole, dr.minimum(dr.select(is_hole, 0.0, lobe / opacity), BELOW_1)


def _straight_where(is_straight: Any, is_hole: Any, before: PathState, scattered: PathState, bsdf: Bsdf) -> PathState:
    """Return the scattered path, or where it goes straight on, the path before, tinted where the surface is clear."""
    import drjit as dr

    factor = bsdf.transmission * dr.rcp(1.0 - bsdf.interface_probability)
    throughput = [
        dr.select(is_straight, value * dr.select(is_hole, 1.0, tint * factor), after)
        for value, tint, after in zip(before.throughput, bsdf.primary_tint, scattered.throughput, strict=True)
    ]
    last_scattering = dr.select(is_straight, before.last_scattering, scattered.last_scattering)
    active = scattered.active | (before.active & is_straight)
    return replace(scattered, throughput=throughput, active=active, last_scattering=last_scattering)


def _add_scaled(values: list[Any], scale: Any, added: list[Any]) -> list[Any]:
    import drjit as dr

    return [dr.fma(scale, new, before) for new, before in zip(added, values, strict=True)]
