"""What a page relights by: its arithmetic gives the frame that is taken anew."""

from __future__ import annotations

from contextlib import chdir
from dataclasses import replace
from functools import cache
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from numpy.typing import NDArray

from gallery.page.relight.facts import frame_facts, shared_facts
from gallery.page.relight.layers import Layers
from materials.colour.sigmoid_reflectance import sigmoid_reflectance
from render.camera.locked_exposure import LockedExposure
from render.frame import take_frame
from render.images.bands import band_basis
from render.images.store.store import Store
from render.images.tracing import Tracing
from render.shot_light import shot_light
from tests.support.relight.frame import Facts, State, initial_state, relit
from tests.support.relight.truth import shown_difference, taken_anew
from tests.unit.render import test_frame
from tests.unit.render.test_frame import HEIGHT, WIDTH, shot, tracing

__all__ = ["tracing"]
PASSES = 2
A_STEP = 6
"""Levels of sRGB, of a step of a layer's curve and of the frame's dithering."""
LIGHTS: dict[str, tuple[dict[str, Any], dict[str, Any]]] = {
    "filaments": ({"kelvin": 4000}, {"kelvin": 2700}),
    "LEDs": ({"kelvin": 5000, "ra": 80}, {"kelvin": 3000, "ra": 95}),
    "bi-colour": ({"kelvin": 4000, "kelvin_range": [3200, 5600]}, {"kelvin": 5600, "kelvin_range": [2700, 6500]}),
    "as they are": ({"spectrum": "FL11"}, {"spectrum": "LED-B3"}),
}
STATES: dict[str, dict[str, Any]] = {
    "as taken": {},
    "one dimmed": {"dimmers": [0.2, 1.0]},
    "one off": {"dimmers": [0.0, 1.0]},
    "both off": {"dimmers": [0.0, 0.0]},
    "warm and cool": {"kelvins": [3200.0, 5600.0]},
    "cool and warm": {"kelvins": [5600.0, 3200.0]},
    "brighter": {"stops": 2.0},
    "darker": {"stops": -2.0},
    "white of a blackbody": {"white_balance": 3000.0},
}


@cache
def colours_in_bands() -> NDArray[np.float64]:
    """Return 40 colours under the flat lamp, (40, bands)."""
    linear = np.random.default_rng(0).uniform(0.02, 0.9, (40, 3))
    return np.array([band_basis() @ sigmoid_reflectance(rgb) for rgb in linear])


def coloured_image(seed: int) -> NDArray[np.float32]:
    """Return the planes of a flat lamp on a scene of many colours."""
    bands = colours_in_bands()[np.random.default_rng(0).integers(40, size=(HEIGHT, WIDTH))].transpose(2, 0, 1)
    level = np.random.default_rng(seed).uniform(0.01, 0.1, (HEIGHT, WIDTH))
    parts = np.stack([np.full_like(level, 0.05), np.full_like(level, 0.1)])
    return np.asarray(level * np.concatenate([bands, parts]), dtype=np.float32)


@pytest.fixture
def coloured(monkeypatch: pytest.MonkeyPatch, request: pytest.FixtureRequest) -> Tracing:
    """Return the tracing of a store of coloured scenes, that fails where anything would be rendered."""
    monkeypatch.setattr(test_frame, "grey_image", coloured_image)
    store: Tracing = request.getfixturevalue("tracing")
    return store


def facts_of(tracing: Tracing, *changes: dict[str, Any], **keys: Any) -> tuple[Facts, Facts]:
    """Return the facts of a frame, and those that frames share."""
    layers, light = Layers(), shot_light(shot(*changes, **keys), tracing, PASSES)
    return frame_facts(light, light.metered_exposure, tracing, PASSES, layers), shared_facts(layers)


@pytest.mark.parametrize("keys", [{}, {"room": {"lux": 40}}, {"camera": {"white_balance": 5500}}], ids=str)
def test_as_taken_it_is_the_frame(tracing: Tracing, keys: dict[str, Any]) -> None:
    facts, shared = facts_of(tracing, **keys)
    taken = take_frame(shot(**keys), tracing, PASSES).rgb
    assert taken.shape == (HEIGHT, WIDTH, 3)
    assert np.abs(relit(facts, shared, initial_state(facts)).astype(int) - taken).max() <= A_STEP


@pytest.mark.parametrize("lamps", LIGHTS)
def test_in_any_state_it_is_the_frame_taken_anew(coloured: Tracing, lamps: str) -> None:
    changes = LIGHTS[lamps]
    facts, shared = facts_of(coloured, *changes)
    light = shot_light(shot(*changes), coloured, PASSES)
    for name, change in STATES.items():
        state: State = replace(initial_state(facts), **change)
        if lamps == "as they are" and "kelvins" in change:
            continue
        apart = shown_difference(relit(facts, shared, state), taken_anew(light, state, coloured, PASSES))
        assert apart.mean() < 1.0, name
        assert np.percentile(apart, 95) < 3.0, name


@pytest.mark.parametrize("peak_nm", [450, 530, 625])
def test_a_coloured_lamp_beside_a_white_one_is_the_frame_taken_anew(
    coloured: Tracing, tmp_path: Path, peak_nm: float
) -> None:
    nm = np.arange(380, 731, 5)
    rows = [f"{each},{value:.9f}" for each, value in zip(nm, np.exp(-(((nm - peak_nm) / 12) ** 2)), strict=True)]
    (tmp_path / "led.csv").write_text("\n".join(["nm,W", *rows]), encoding="utf-8")
    with chdir(tmp_path):
        changes: tuple[dict[str, Any], dict[str, Any]] = {"kelvin": 4000}, {"spectrum": "led.csv"}
        camera = {"white_balance": 4000}
        facts, shared = facts_of(coloured, *changes, camera=camera)
        light = shot_light(shot(*changes, camera=camera), coloured, PASSES)
        for dimmers in ([1.0, 1.0], [0.2, 1.0], [1.0, 0.2]):
            state = replace(initial_state(facts), dimmers=dimmers)
            apart = shown_difference(relit(facts, shared, state), taken_anew(light, state, coloured, PASSES))
            assert apart.mean() < 1.0
            assert np.percentile(apart, 95) < 3.0


@pytest.mark.usefixtures("tracing")
def test_a_lamp_that_gives_no_light_changes_nothing(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    monkeypatch.setattr(test_frame, "grey_image", lambda number: coloured_image(number) * np.float32(number == 1))
    dark = Tracing(Store(tmp_path / "dark"))
    test_frame.remember(dark.store, shot())
    facts, shared = facts_of(dark)
    lit, without = (relit(facts, shared, replace(initial_state(facts), dimmers=[d, 1.0])) for d in (1.0, 0.0))
    assert lit.mean() > 10
    np.testing.assert_array_equal(lit, without)


def test_a_white_balance_that_is_locked_is_kept_as_taken(coloured: Tracing) -> None:
    light = shot_light(shot(), coloured, PASSES)
    locked = LockedExposure(
        light.metered_exposure.exposure, shot_light(shot({"kelvin": 5500}, {}), coloured, PASSES).white
    )
    layers = Layers()
    facts = frame_facts(light, locked, coloured, PASSES, layers)
    taken = take_frame(light.shot, coloured, PASSES, locked).rgb
    assert shown_difference(relit(facts, shared_facts(layers), initial_state(facts)), taken).mean() < 1.0


def test_lamps_say_how_they_can_be_set_and_the_room_that_it_cannot(tracing: Tracing) -> None:
    changes = ({"dimmable": False, "spectrum": "FL11"}, {"kelvin": 4000, "kelvin_range": [3200, 5600]})
    facts, _ = facts_of(tracing, *changes, room={"lux": 40})
    said = [(lamp["name"], lamp["dimmable"], lamp["kelvin"], lamp["kelvinRange"]) for lamp in facts["lamps"]]
    assert said == [("A", False, None, None), ("B", True, 4000, (3200, 5600)), ("room", False, None, None)]


def test_frames_of_the_same_light_share_their_layers(coloured: Tracing) -> None:
    layers, light = Layers(), shot_light(shot(), coloured, PASSES)
    first, second = (frame_facts(light, light.metered_exposure, coloured, PASSES, layers) for _ in range(2))
    assert [lamp["layers"] for lamp in first["lamps"]] == [lamp["layers"] for lamp in second["lamps"]]
    assert len(layers.facts()) == 2 * 2  # of each lamp its own light and another colour temperature
