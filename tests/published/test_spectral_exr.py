"""The published layout of spectral OpenEXR, by a picture that its authors' own renderer wrote."""

from __future__ import annotations

from pathlib import Path

import colour
import numpy as np

from gallery.export.spectral_exr import LAYOUT, channel_name, spectrum_text

SAMPLE = Path(colour.__file__).parent / "io" / "tests" / "resources" / "Polarised.exr"
"""A crop of PolarisedRendering.exr of Fichet, Pacanowski and Wilkie, JCGT 10(3), 2021; colour-science has it along."""


def test_attributes_and_names_of_channels_are_those_of_the_authors_sample() -> None:
    import OpenEXR

    with OpenEXR.File(str(SAMPLE), separate_channels=True) as file:
        attributes, names = dict(file.header()), set(file.channels())
    assert LAYOUT.items() <= attributes.items()
    assert {channel_name(nm) for nm in range(400, 701, 40)} == {name for name in names if name.startswith("S0.")}


def test_a_wavelength_between_whole_ones_has_a_comma() -> None:
    assert channel_name(400 + 300 / 11) == "S0.427,272727nm"


def test_a_spectrum_in_an_attribute_reads_back() -> None:
    values = np.array([1.2e-5, 0.0, 3.0])
    spectrum = colour.io.spectrum_attribute_to_sd_Fichet2021(spectrum_text([380.0, 450.5, 730.0], values))
    np.testing.assert_array_equal(spectrum.wavelengths, [380.0, 450.5, 730.0])
    np.testing.assert_array_equal(spectrum.values, values)
