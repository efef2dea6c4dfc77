"""Finishes for the oracle: stock sheens, with a lobe beside them for what they lose or what lies below them.

The sheens are stock plugins, and what they lose is measured on the plugins themselves, by their own sampling: no table
of the product is used.
"""

from __future__ import annotations

from dataclasses import replace
from functools import cache
from typing import Any

import numpy as np
from numpy.typing import NDArray

from materials.light.observer import WAVELENGTHS_NM
from materials.light.spectra import Spectrum
from materials.surface.coherence import COHERENCE, coherent_fraction, scattered_fraction
from materials.surface.conductor import hemispherical_reflectance
from materials.surface.energy import COSINES as COSINES_OF_TABLES
from materials.surface.energy import body_coupling
from materials.surface.finish import Finish
from materials.surface.fresnel import fresnel
from render.kernel.backend import mitsuba

LEAST_ROUGHNESS = 1e-3
WHITE = np.ones(WAVELENGTHS_NM.shape)
COSINES = 65
GRID = 512
"""Points a side with which a sheen's albedo is taken."""


def spectrum_dict(values: Spectrum) -> dict[str, Any]:
    """Return a spectrum of (351,) values as a dictionary, held flat for the half step beyond its ends."""
    if np.ptp(values) == 0:
        return {"type": "uniform", "value": float(values[0])}  # a sampled spectrum of zeros is refused
    padded = np.concatenate([values[:1], values, values[-1:]])
    return {
        "type": "regular",
        "wavelength_min": float(WAVELENGTHS_NM[0] - 1),
        "wavelength_max": float(WAVELENGTHS_NM[-1] + 1),
        "values": ",".join(f"{v:.7g}" for v in padded),
    }


def stock_bsdf(finish: Finish) -> Any:
    """Return a finish as Mitsuba scatters it in its stock integrators, the same from both sides."""
    mi = mitsuba()
    body = spectrum_dict(finish.base)
    if finish.kind == "matt":
        return mi.load_dict({"type": "twosided", "inner": {"type": "diffuse", "reflectance": body}})
    name = f"finish_{abs(hash(finish)):x}"
    mi.register_bsdf(name, lambda props: _with_lobe(finish, props))
    inner = {"type": name}
    return mi.load_dict(inner if finish.kind == "diffuser" else {"type": "twosided", "inner": inner})


def plain_bsdf(finish: Finish) -> Any:
    """Return the nearest stock plugin, which loses light on rough surfaces."""
    mi, body = mitsuba(), spectrum_dict(finish.base)
    if finish.kind in ("matt", "diffuser"):
        return mi.load_dict({"type": "twosided", "inner": {"type": "diffuse", "reflectance": body}})
    inner = sheen_dict(finish, body)
    if finish.kind == "plastic":
        inner["diffuse_reflectance"] = body
    return mi.load_dict({"type": "twosided", "inner": inner})


def sheen_dict(finish: Finish, colour: dict[str, Any]) -> dict[str, Any]:
    """Return the stock plugin whose sheen a finish has, of a colour where it is a metal's."""
    alpha = max(finish.roughness, LEAST_ROUGHNESS)
    if finish.kind == "metal":
        return {"type": "roughconductor", "material": "none", "distribution": "ggx", "alpha": alpha,
                "specular_reflectance": colour}  # fmt: skip
    return {"type": "roughplastic", "distribution": "ggx", "alpha": alpha, "int_ior": finish.index, "ext_ior": 1.0,
            "nonlinear": False, "diffuse_reflectance": {"type": "uniform", "value": 0.0}}  # fmt: skip


def sheen_albedo(finish: Finish) -> NDArray[np.float64]:
    """Return what the stock sheen sends on of light at evenly spaced cosines, (COSINES,), by its own sampling."""
    return _sheen_albedo(replace(finish, base=WHITE))


@cache
def _sheen_albedo(finish: Finish) -> NDArray[np.float64]:
    import drjit as dr

    mi = mitsuba()
    sheen = mi.load_dict(sheen_dict(finish, {"type": "uniform", "value": 1.0}))
    place = dr.arange(mi.UInt32, GRID * GRID)
    u = (mi.Float(place % GRID) + 0.5) / GRID
    v = (mi.Float(place // GRID) + 0.5) / GRID
    found = []
    for cosine in np.maximum(np.linspace(0.0, 1.0, COSINES), 1e-4):
        met = dr.zeros(mi.SurfaceInteraction3f, GRID * GRID)
        met.wi = mi.Vector3f(*(dr.opaque(mi.Float, float(v)) for v in (np.sqrt(1 - cosine**2), 0.0, cosine)))
        sent, weight = sheen.sample(mi.BSDFContext(), met, mi.Float(0.5), mi.Point2f(u, v))
        weights = np.array(weight[0], dtype=np.float64)
        if finish.kind == "plastic":
            alpha = max(finish.roughness, LEAST_ROUGHNESS)
            outgoing = np.maximum(np.array(sent.wo.z, dtype=np.float64), 0.0)
            weights *= scattered_fraction(cosine, outgoing, alpha)
            found.append(float(weights.mean() + fresnel(cosine, finish.index) * coherent_fraction(cosine, alpha)))
        else:
            found.append(float(weights.mean()))
    return np.array(found)


def _with_lobe(finish: Finish, props: Any) -> Any:
    """Return the plugin: a sheen and a diffuse lobe, or a sheet that scatters to both sides."""
    import drjit as dr

    mi = mitsuba()

    class WithLobe(mi.BSDF):  # type: ignore[misc, name-defined]  # no type information
        def __init__(self, props: Any) -> None:
            super().__init__(props)
            self.is_sheet = finish.kind == "diffuser"
            sides = mi.BSDFFlags.FrontSide | (mi.BSDFFlags.BackSide if self.is_sheet else mi.BSDFFlags.FrontSide)
            flags = [mi.BSDFFlags.DiffuseReflection | sides, mi.BSDFFlags.GlossyReflection | sides]
            if self.is_sheet:
                flags[1] = mi.BSDFFlags.DiffuseTransmission | sides
            self.m_components, self.m_flags = flags, flags[0] | flags[1]
            self.first, self.other = (
                mi.load_dict(spectrum_dict(colour)) for colour in (finish.base, finish.transmittance)
            )
            self.share = 0.5  # of samples that the diffuse lobe takes
            if self.is_sheet:
                return
            self.sheen = mi.load_dict(sheen_dict(finish, spectrum_dict(WHITE)))
            self.mirror = mi.load_dict(sheen_dict(replace(finish, roughness=0.0), spectrum_dict(WHITE)))
            self.alpha = max(finish.roughness, LEAST_ROUGHNESS)
            albedo = sheen_albedo(finish)
            cosines = np.linspace(0, 1, COSINES)
            mean = float(2 * np.trapezoid(albedo * cosines, cosines))
            self.table = mi.Float(((1 - albedo) / np.sqrt(max(1 - mean, 1e-9))).astype(np.float32))
            met = hemispherical_reflectance(finish.base, finish.dip)
            late = met**2 * mean / (1 - met * (1 - mean))  # Kulla and Conty 2017
            self.share = float(np.clip(1 - mean, 0.01, 0.5)) if finish.kind == "metal" else 0.5
            self.lobe = mi.load_dict(spectrum_dict(late if finish.kind == "metal" else finish.base))
            if finish.flake_fraction:
                # what passes the surface is the product's own table: that it is right is what the furnace shows
                let = body_coupling(finish.roughness, finish.index, finish.flake_fraction, finish.body_roughness)
                self.table = mi.Float(np.interp(cosines, COSINES_OF_TABLES, let).astype(np.float32))
                facets = Finish.metal(WHITE, finish.body_roughness)
                self.flakes = mi.load_dict(sheen_dict(facets, spectrum_dict(WHITE)))

        def through(self, cosine: Any) -> Any:
            place = dr.clip(dr.abs(cosine), 0, 1) * (COSINES - 1)
            cell = dr.minimum(mi.UInt32(place), COSINES - 2)
            low, high = dr.gather(mi.Float, self.table, cell), dr.gather(mi.Float, self.table, cell + 1)
            return dr.lerp(low, high, place - mi.Float(cell))

        def coherent(self, cosine: Any) -> Any:
            return dr.exp(-COHERENCE * self.alpha * cosine * cosine)

        def shine(self, ctx: Any, si: Any, wo: Any, active: Any) -> Any:
            scattered = self.sheen.eval(ctx, si, wo, active)
            if finish.kind == "metal":
                rest = 1 - dr.maximum(dr.dot(si.wi, dr.normalize(si.wi + wo)), 0)
                rise, error = rest**5, (1 - rest) * rest**6
                normal = self.first.eval(si, active)
                fall = finish.dip.offset + finish.dip.slope * normal
                return scattered * (normal + (1 - normal) * rise - fall * error)
            one, other = self.coherent(si.wi.z), self.coherent(wo.z)
            image = self.mirror.eval(ctx, si, wo, active) * dr.sqrt(one * other)
            return image + scattered * dr.sqrt((1 - one) * (1 - other))

        def sample(self, ctx: Any, si: Any, s1: Any, s2: Any, active: Any = True) -> Any:
            bs = dr.zeros(mi.BSDFSample3f)
            wo = mi.warp.square_to_cosine_hemisphere(s2)
            if self.is_sheet:
                wo.z = dr.select(s1 < 0.5, -wo.z, wo.z)
                wo.z = dr.select(si.wi.z < 0, -wo.z, wo.z)
            else:
                mirrored, _ = self.sheen.sample(ctx, si, s1, s2, active)
                shiny = mirrored.wo
                if finish.kind == "plastic":
                    image, _ = self.mirror.sample(ctx, si, s1, s2, active)
                    is_image = s1 > 1 - (1 - self.share) * self.coherent(si.wi.z)
                    shiny = dr.select(is_image, image.wo, shiny)
                wo = dr.select(s1 < self.share, wo, shiny)
                if finish.flake_fraction:
                    inner, _ = self.flakes.sample(ctx, si, s1, s2, active)
                    wo = dr.select(s1 < self.share * finish.flake_fraction, inner.wo, wo)
            value, pdf = self.eval_pdf(ctx, si, wo, active)
            bs.wo, bs.pdf, bs.eta = wo, pdf, 1.0
            bs.sampled_type, bs.sampled_component = mi.UInt32(+self.m_components[0]), mi.UInt32(0)
            good = active & (pdf > 0)
            return bs, dr.select(good, value / pdf, 0)

        def eval(self, ctx: Any, si: Any, wo: Any, active: Any = True) -> Any:
            if self.is_sheet:
                same = si.wi.z * wo.z > 0
                colour = dr.select(same, self.first.eval(si, active), self.other.eval(si, active))
                return dr.select(active, colour * dr.abs(wo.z) * dr.inv_pi, 0)
            even = wo.z * dr.inv_pi
            if finish.flake_fraction:
                even = dr.lerp(even, self.flakes.eval(ctx, si, wo, active)[0], finish.flake_fraction)
            lobe = self.lobe.eval(si, active) * self.through(si.wi.z) * self.through(wo.z) * even
            valid = active & (si.wi.z > 0) & (wo.z > 0)
            return dr.select(valid, lobe + self.shine(ctx, si, wo, active), 0)

        def pdf(self, ctx: Any, si: Any, wo: Any, active: Any = True) -> Any:
            even = dr.abs(wo.z) * dr.inv_pi
            if self.is_sheet:
                return dr.select(active, 0.5 * even, 0)
            if finish.flake_fraction:
                even = dr.lerp(even, self.flakes.pdf(ctx, si, wo, active), finish.flake_fraction)
            valid = active & (si.wi.z > 0) & (wo.z > 0)
            shiny = self.sheen.pdf(ctx, si, wo, active)
            if finish.kind == "plastic":
                shiny = dr.lerp(shiny, self.mirror.pdf(ctx, si, wo, active), self.coherent(si.wi.z))
            return dr.select(valid, dr.lerp(shiny, even, self.share), 0)

        def eval_pdf(self, ctx: Any, si: Any, wo: Any, active: Any = True) -> Any:
            return self.eval(ctx, si, wo, active), self.pdf(ctx, si, wo, active)

        def to_string(self) -> str:
            return f"WithLobe[{finish.kind}]"

    return WithLobe(props)
