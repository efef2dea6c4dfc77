"""Metals' reflectance against another published set of optical constants, and textbook values."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest
from numpy.typing import NDArray

from materials.light.observer import WAVELENGTHS_NM
from materials.surface.conductor import approximate_fresnel, conductor_fresnel, hemispherical_reflectance
from materials.surface.metals import metal_dip, metal_reflectance, named_metals
from render.kernel.backend import mitsuba
from tests.support.report import absolute, report

MITSUBA = "n, k of the luxpop and Palik collections, as Mitsuba ships them"
FILES = {"gold": "Au", "copper": "Cu", "silver": "Ag", "aluminium": "Al", "chrome": "Cr", "nickel": "Ni_palik"}
TOLERANCES = {"gold": 0.07, "copper": 0.04, "silver": 0.015, "aluminium": 0.012, "chrome": 0.05, "nickel": 0.015}
"""The papers measured other films than the collections: gold at its edge near 505 nm and chrome in the blue differ."""

DATABASE = "n, k in the public domain database of refractiveindex.info, of the same paper"
ROWS = {
    "silver": ((447.22, 0.13667, 2.3025), (555.18, 0.13465, 3.2132), (649.73, 0.14619, 3.9347)),
    "aluminium": ((450.91, 0.59250, 5.3216), (550.33, 0.96708, 6.4617), (649.74, 1.4192, 7.4649)),
    "chrome": ((450.44, 2.1482, 3.8646), (552.64, 2.9196, 4.2370), (652.31, 3.5474, 4.3483)),
    "nickel": ((450.06, 1.6494, 2.6709), (551.36, 1.8175, 3.2662), (651.93, 2.0637, 3.7724)),
    "gold": ((450.9, 1.38, 1.914), (548.6, 0.43, 2.455), (659.5, 0.14, 3.697)),
    "copper": ((450.9, 1.24, 2.397), (548.6, 1.02, 2.577), (659.5, 0.22, 3.747)),
    "brass": ((430.0, 1.278, 1.784), (530.0, 0.573, 2.568), (650.0, 0.444, 3.695)),
    "iron": ((451.0, 2.59, 2.77), (549.0, 2.95, 2.93), (659.0, 2.92, 3.10)),
}
"""Wavelength in nm, n and k; of brass, rows that the product's own table leaves out."""


@pytest.mark.parametrize("name", ROWS)
def test_the_constants_are_those_of_their_paper(name: str) -> None:
    assert ROWS.keys() == named_metals().keys()
    index = named_metals()[name].index
    for nm, n, k in ROWS[name]:
        for what, expected, values in (("n", n, index.real), ("k", k, index.imag)):
            got = float(np.interp(nm, WAVELENGTHS_NM, values))
            report(f"{name} at {nm:g} nm, {what}", DATABASE, expected, got, absolute(0.02))


def shipped(name: str) -> NDArray[np.float64]:
    """Return the normal reflectance of a file's constants on the grid."""
    import mitsuba

    folder = Path(mitsuba.__file__).parent / "data" / "ior"
    n, k = (_values(folder / f"{FILES[name]}.{what}.spd") for what in ("eta", "k"))
    return np.asarray(((n - 1) ** 2 + k**2) / ((n + 1) ** 2 + k**2))


def _values(path: Path) -> NDArray[np.float64]:
    lines = [line.split() for line in path.read_text(encoding="utf-8").splitlines() if line[:1].isdigit()]
    nm, values = np.array(lines, dtype=np.float64).T
    return np.asarray(np.interp(WAVELENGTHS_NM, nm, values))


@pytest.mark.parametrize("name", FILES)
def test_metals_reflect_as_another_collection_says(name: str) -> None:
    expected, got = shipped(name), metal_reflectance(name)
    for nm in (450, 500, 550, 600, 650, 700):
        case = f"{name} at {nm} nm, reflectance"
        report(case, MITSUBA, float(expected[nm - 380]), float(got[nm - 380]), absolute(TOLERANCES[name]))


def test_one_metal_does_not_pass_for_another() -> None:
    for name in FILES:
        near = {
            other
            for other in FILES
            if np.abs(metal_reflectance(name) - shipped(other))[70:320:50].max() < TOLERANCES[other]
        }
        assert near == {name}


FRESNEL = "Fresnel's equations with the published n, k"
ANGLES_DEG = (0, 45, 60, 75, 85)
NM = (450, 550, 650)


@pytest.mark.parametrize("name", ROWS)
def test_a_metal_rises_to_grazing_as_its_constants_say(name: str) -> None:
    for nm in NM:
        index, normal = named_metals()[name].index[nm - 380], metal_reflectance(name)[nm - 380]
        for angle in ANGLES_DEG:
            cosine = np.cos(np.radians(angle))
            expected, got = conductor_fresnel(cosine, index), approximate_fresnel(normal, cosine, metal_dip(name))
            report(f"{name} at {nm} nm, {angle} degrees", FRESNEL, float(expected), float(got), absolute(0.045))


@pytest.mark.parametrize("name", ROWS)
def test_a_metal_reflects_of_diffuse_light_what_its_constants_say(name: str) -> None:
    nodes, weights = np.polynomial.legendre.leggauss(64)
    cosine = (nodes + 1) / 2
    for nm in NM:
        index, normal = named_metals()[name].index[nm - 380], metal_reflectance(name)[nm - 380]
        expected = weights @ (conductor_fresnel(cosine, index) * cosine)
        got = hemispherical_reflectance(normal, metal_dip(name))
        report(f"{name} at {nm} nm, diffuse light", FRESNEL, float(expected), float(got), absolute(0.01))


@pytest.mark.parametrize("name", ROWS)
def test_fresnels_equations_are_those_of_the_renderers_conductor(name: str) -> None:
    mi = mitsuba()
    for angle in ANGLES_DEG:
        cosine, index = float(np.cos(np.radians(angle))), complex(named_metals()[name].index[170])
        of_mitsuba = float(np.ravel(mi.fresnel_conductor(mi.Float(cosine), mi.Complex2f(index.real, index.imag)))[0])
        got = float(conductor_fresnel(cosine, index))
        report(
            f"{name} at 550 nm, {angle} degrees, exact", "Mitsuba's fresnel_conductor", of_mitsuba, got, absolute(1e-5)
        )
