"""The simulated glossmeter against published numbers."""

from __future__ import annotations

import numpy as np
import pytest

from materials.surface.fresnel import fresnel
from materials.surface.glossmeter import (
    RECEPTORS,
    SOURCE,
    Aperture,
    gloss_units,
    roughness_from_gloss,
    specular_fraction,
)
from materials.surface.named_finishes import named_finishes
from render.kernel.backend import mitsuba
from tests.support.report import absolute, relative, report

FRESNEL = "Fresnel's equations, ISO 2813 black glass n 1.567"
ISO_2813 = "ISO 2813, ASTM D523: 100 GU at n 1.567, in closed form"
GGX_TABLE = "GGX over black through the ISO 2813 meter, computed apart"
MPI = "MPI gloss and sheen levels"


@pytest.mark.parametrize(("degrees", "reflectance"), [(20, 0.049078), (60, 0.100056), (85, 0.619148)])
def test_black_glass_reflects_by_fresnel(degrees: float, reflectance: float) -> None:
    got = float(fresnel(np.cos(np.radians(degrees)), 1.567))
    report(f"black glass at {degrees} degrees", FRESNEL, reflectance, got, absolute(1e-6))


@pytest.mark.parametrize("degrees", [20, 60, 85])
def test_black_glass_reads_100(degrees: float) -> None:
    report(f"black glass {degrees} degrees, GU", ISO_2813, 100, gloss_units(0, 1.567, degrees), absolute(1e-9))


@pytest.mark.parametrize(
    ("index", "degrees", "gloss"),
    [
        (1.50, 20, 82.05),
        (1.50, 60, 89.14),
        (1.50, 85, 98.97),
        (1.54, 20, 92.67),
        (1.54, 60, 95.68),
        (1.54, 85, 99.63),
    ],
)
def test_a_smooth_surface_reads_the_ratio_of_reflectances(index: float, degrees: float, gloss: float) -> None:
    got = gloss_units(0, index, degrees)
    report(f"smooth n {index:.2f}, {degrees} degrees, GU", ISO_2813, gloss, got, absolute(0.01))


@pytest.mark.parametrize(
    ("roughness", "gloss"), [(0.01, 78.80), (0.02, 61.22), (0.05, 30.44), (0.10, 13.57), (0.20, 4.48)]
)
def test_roughness_reads_as_its_gloss(roughness: float, gloss: float) -> None:
    report(f"roughness {roughness}, GU", GGX_TABLE, gloss, gloss_units(roughness), absolute(1))


@pytest.mark.parametrize(
    ("gloss", "roughness"),
    [(5, 0.1882), (10, 0.1236), (20, 0.0738), (35, 0.0432), (50, 0.0278), (70, 0.0149), (85, 0.0060)],
)
def test_gloss_is_given_by_its_roughness(gloss: float, roughness: float) -> None:
    report(f"{gloss} GU, roughness", GGX_TABLE, roughness, roughness_from_gloss(gloss), relative(0.01))


@pytest.mark.parametrize(
    ("name", "low", "high"), [("matt", 0, 5), ("satin", 20, 35), ("semi-gloss", 35, 70), ("gloss", 70, 85)]
)
def test_a_named_finish_reads_within_its_level(name: str, low: float, high: float) -> None:
    got = gloss_units(roughness_from_gloss(named_finishes()[name].gloss_units))
    # the solver stops within a billionth of a gloss unit, and matt stands on its level's limit
    bound = (high - low) / 2 + 1e-6
    report(f"{name}, GU, middle of {low} to {high}", MPI, (low + high) / 2, got, absolute(bound))


@pytest.mark.parametrize(
    ("degrees", "in_plane", "across"), [(20.0, 1.80, 3.60), (60.0, 4.40, 11.70), (85.0, 4.00, 6.00)]
)
def test_the_receptor_has_the_sides_of_the_standard(degrees: float, in_plane: float, across: float) -> None:
    sides = RECEPTORS[degrees]
    for name, expected, got in (("in plane", in_plane, sides[0]), ("across", across, sides[1])):
        report(f"receptor at {degrees:.0f}, {name}, degrees", "ISO 2813", expected, got, absolute(0))


def test_swapping_the_two_sides_of_the_receptor_would_be_seen() -> None:
    right = RECEPTORS[60.0]
    swapped = Aperture(right.across_deg, right.in_plane_deg)
    standard = specular_fraction(0, 1.567, 60, right)
    readings = [100 * specular_fraction(0.05, 1.5, 60, receptor) / standard for receptor in (right, swapped)]
    assert abs(readings[0] - 30.44) <= 1
    assert abs(readings[1] - 30.44) > 1


@pytest.mark.parametrize(
    ("roughness", "gloss"), [(0.01, 78.80), (0.02, 61.22), (0.05, 30.44), (0.10, 13.57), (0.20, 4.48)]
)
def test_the_stock_sheen_reads_the_same_through_the_meter_by_sampling(roughness: float, gloss: float) -> None:
    """Mitsuba's own rough surface, met from all over the source, and how much of what it mirrors the receptor takes."""
    got = 100 * sampled_share(roughness, 1.5) / sampled_share(1e-4, 1.567)
    report(f"stock sheen of roughness {roughness}, GU by Monte Carlo", GGX_TABLE, gloss, got, absolute(1))


def sampled_share(roughness: float, index: float, angle_deg: float = 60.0) -> float:
    """Return the share of the source's light that the receptor takes, of 2^20 rays sent by Mitsuba's own sampling."""
    mi = mitsuba()
    import drjit as dr

    sheen = mi.load_dict({
        "type": "roughplastic", "distribution": "ggx", "alpha": roughness, "int_ior": index, "ext_ior": 1.0,
        "nonlinear": False, "diffuse_reflectance": {"type": "uniform", "value": 0.0},
    })  # fmt: skip
    rays = np.random.default_rng(7).random((5, 1 << 20)).astype(np.float32)
    source, receptor = (np.radians(sides) for sides in (SOURCE, RECEPTORS[angle_deg]))
    tilt, across = ((rays[i] - 0.5) * source[i] for i in (0, 1))
    angle = np.radians(angle_deg)
    met = dr.zeros(mi.SurfaceInteraction3f, rays.shape[1])
    met.wi = mi.Vector3f(
        mi.Float(-np.sin(angle + tilt) * np.cos(across)), mi.Float(-np.sin(across)),
        mi.Float(np.cos(angle + tilt) * np.cos(across)),
    )  # fmt: skip
    sent, weight = sheen.sample(
        mi.BSDFContext(), met, mi.Float(rays[2]), mi.Point2f(mi.Float(rays[3]), mi.Float(rays[4]))
    )
    x, y, z = (np.array(value, dtype=np.float64) for value in (sent.wo.x, sent.wo.y, sent.wo.z))
    in_plane, off_plane = np.arctan2(x, z) - angle, np.arcsin(np.clip(y, -1, 1))
    taken = (np.abs(in_plane) < receptor[0] / 2) & (np.abs(off_plane) < receptor[1] / 2) & (z > 0)
    return float((np.array(weight[0], dtype=np.float64) * taken).mean())


@pytest.mark.parametrize("base", [0.5, 0.85])
def test_a_pale_base_adds_one_to_two_units(base: float) -> None:
    added = gloss_units(0.1, base=base) - gloss_units(0.1)
    report(
        f"base {base}, GU that it adds, middle of 1 to 2",
        "white adds 1 to 2 GU: common practice, no source",
        1.5,
        added,
        absolute(0.5),
    )


@pytest.mark.parametrize("degrees", [20.0, 60.0])
@pytest.mark.parametrize("base", [0.5, 1.0])
def test_a_body_adds_what_the_stock_plastic_sends_into_the_receptor(degrees: float, base: float) -> None:
    """Mitsuba's smooth plastic, whose surface lets in and out by Fresnel: its rough one loses light between facets."""
    mi = mitsuba()
    body = mi.load_dict({
        "type": "plastic", "int_ior": 1.5, "ext_ior": 1.0, "nonlinear": True,
        "diffuse_reflectance": {"type": "uniform", "value": 1.0},
    })  # fmt: skip
    met = mi.SurfaceInteraction3f()
    sine, cosine = float(np.sin(np.radians(degrees))), float(np.cos(np.radians(degrees)))
    met.wi = mi.Vector3f(-sine, 0, cosine)
    per_steradian = float(np.ravel(body.eval(mi.BSDFContext(), met, mi.Vector3f(sine, 0, cosine)))[0])
    in_plane, across = np.radians(RECEPTORS[degrees])
    expected = 100 * base * per_steradian * in_plane * across / float(fresnel(cosine, 1.567))
    got = gloss_units(0.1, angle_deg=degrees, base=base) - gloss_units(0.1, angle_deg=degrees)
    case = f"base {base}, GU that it adds at {degrees:.0f} degrees"
    report(case, "Mitsuba's smooth plastic, its body alone", expected, got, relative(0.005))
