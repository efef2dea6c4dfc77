"""Colour by bands against colour by full spectra."""

from __future__ import annotations

import warnings

import numpy as np
import pytest

from materials.arrays import Array
from materials.light.observer import COLOUR_MATCHING, MAX_LUMINOUS_EFFICACY, WAVELENGTHS_NM
from materials.light.spectra import blackbody, photometric_value, xyz
from materials.surface.finish import Finish
from render.description.scene import Camera, Geometry
from render.images.bands import band_basis, xyz_weights
from render.images.lamp_images import LitLamp, lamp_xyz
from render.kernel.trace import Tracer
from scenes.lamps.emitter_shape import ROOM
from tests.support.light import UP, board, lamp_image, meter
from tests.support.report import absolute, relative, report

with warnings.catch_warnings():
    # the library says at import that plotting is not installed; nothing here plots
    warnings.simplefilter("ignore")
    import colour

SOURCE = "full spectra at 1 nm, chart and illuminants of colour-science"


def on_grid(tabulated: object) -> Array:
    """Return a spectrum of the reference library on the grid of the project."""
    values: Array = np.interp(WAVELENGTHS_NM, tabulated.wavelengths, tabulated.values)  # type: ignore[attr-defined]
    return values


def reflectances(chart: str) -> dict[str, Array]:
    """Return the measured reflectances of a chart's 24 patches."""
    return {name: on_grid(patch) for name, patch in colour.SDS_COLOURCHECKERS[chart].items()}


def light(name: str) -> Array:
    """Return the spectrum of a light, of luminance 1 from a perfect white."""
    spectrum = blackbody(4000) if name == "4000 K" else on_grid(colour.SDS_ILLUMINANTS[name])
    return spectrum / photometric_value(spectrum)


def difference(spectrum: Array, full: Array, banded: Array) -> Array:
    """Return CIEDE2000 of (n, 3) XYZ, with the light itself as the white."""
    x, y, z = xyz(spectrum)
    white = np.array([x, y]) / (x + y + z)
    lab = [colour.XYZ_to_Lab(values, white) for values in (full, banded)]
    delta: Array = colour.delta_E(*lab, method="CIE 2000")
    return delta


@pytest.mark.parametrize("chart", ["ColorChecker N Ohta", "BabelColor Average"])
@pytest.mark.parametrize(
    ("name", "bound"),
    [
        ("A", 0.3), ("4000 K", 0.4), ("LED-B1", 0.2), ("LED-B2", 0.2),
        ("LED-B3", 0.5), ("LED-B4", 0.4), ("LED-B5", 0.3),
    ],
)  # fmt: skip
def test_bands_give_the_colours_of_full_spectra(name: str, bound: float, chart: str) -> None:
    spectrum, patches = light(name), np.array(list(reflectances(chart).values()))
    assert len(patches) == 24
    full = MAX_LUMINOUS_EFFICACY * (patches * spectrum) @ COLOUR_MATCHING.T
    banded = patches @ band_basis().T @ xyz_weights(spectrum).T
    worst = float(difference(spectrum, full, banded).max())
    report(f"{chart}, 24 patches under {name}, worst CIEDE2000", SOURCE, 0, worst, absolute(bound))


@pytest.mark.parametrize(("patch", "name"), [("orange", "LED-B3"), ("blue", "A"), ("green", "4000 K")])
def test_a_picture_of_a_coloured_board_has_its_colour(patch: str, name: str) -> None:
    reflectance, spectrum = reflectances("ColorChecker N Ohta")[patch], light(name)
    down = np.column_stack([(1.0, 0.0, 0.0), (0.0, 1.0, 0.0), (0.0, 0.0, -1.0)])
    plate = board(meter((0, 0, 0), UP, 200, 200), Finish.board(reflectance))
    tracer = Tracer(Geometry((plate,), Camera(np.array([0.0, 0.0, 1.0]), down, 0.3, 32, 32)))
    image = lamp_image(*(tracer.images([ROOM], number)[0] for number in range(8)))
    # in a uniform surround of luminance 1 a board has the luminance of its reflectance, however it lies
    seen = lamp_xyz(LitLamp(image, spectrum)).mean(axis=(0, 1), dtype=float)
    delta = float(difference(spectrum, xyz(reflectance * spectrum)[None], seen[None])[0])
    source = "reflectance times surround, full spectra at 1 nm"
    case = f"picture of a board, {patch} under {name}"
    report(f"{case}, CIEDE2000", source, 0, delta, absolute(0.5))
    report(f"{case}, cd/m2", source, float(xyz(reflectance * spectrum)[1]), float(seen[1]), relative(0.005))
