"""Metals: what holds for any of them."""

from __future__ import annotations

import numpy as np
import pytest

from materials.light.observer import WAVELENGTHS_NM
from materials.surface.metals import metal_reflectance, named_metals


@pytest.mark.parametrize("name", named_metals())
def test_a_metal_says_what_it_is_and_reflects_within_0_to_1(name: str) -> None:
    metal, reflectance = named_metals()[name], metal_reflectance(name)
    assert metal.description
    assert metal.source
    assert reflectance.shape == (351,)
    assert 0 < reflectance.min() <= reflectance.max() < 1
    assert not reflectance.flags.writeable
    assert np.all(metal.index.imag > 0)


@pytest.mark.parametrize("name", named_metals())
def test_its_table_of_constants_reaches_over_the_whole_grid(name: str) -> None:
    """Or else its ends would be held flat without a word."""
    rows = named_metals()[name].constants
    nm = [1239.842 / energy for energy, _, _ in rows]
    assert not rows or (min(nm) <= WAVELENGTHS_NM[0] and max(nm) >= WAVELENGTHS_NM[-1])


@pytest.mark.parametrize("name", named_metals())
def test_a_metal_reflects_less_under_a_coat_than_in_air(name: str) -> None:
    coated = metal_reflectance(name, 1.5)
    assert np.all(coated < metal_reflectance(name))
    assert np.all(coated > 0)


def test_gold_copper_and_brass_are_warm_and_brass_turns_before_copper() -> None:
    turns = {}
    for name in ("gold", "copper", "brass"):
        reflectance = metal_reflectance(name)
        assert reflectance[WAVELENGTHS_NM == 650] > 1.5 * reflectance[WAVELENGTHS_NM == 450]
        turns[name] = float(WAVELENGTHS_NM[np.argmax(np.diff(reflectance))])
    assert turns["brass"] < turns["copper"]  # zinc moves copper's edge to the blue: brass is yellow


def test_an_unknown_metal_is_a_key_error() -> None:
    with pytest.raises(KeyError):
        metal_reflectance("unobtainium")
