"""What a meter should read of each lamp, and what a centimetre more changes, by a receptor's own numbers."""

from __future__ import annotations

import math

import numpy as np
import pytest

from gallery.diagram.readings import lamp_readings, room_lux
from render.description.scene import setup_geometry
from render.hero_light import HeroLight
from render.shot import Shot
from scenes.arrangement.arrangement import CameraModel
from tests.support.arrangements import finishes
from tests.support.diagrams.cases import as_placed, block

SMALL = {"name": "small", "kind": "bulb", "diameter_cm": 1, "lumens": 300, "at_cm": [-30, 0, 15], "aim_cm": [0, 0, 15]}
OTHER = {**SMALL, "name": "other", "at_cm": [0, -40, 15], "dimmer": 0.25}


def light() -> HeroLight:
    """Return the light of two lamps and a room at a block's hero: 800 and 80, 20 and 400, 5 lx on facing receptors."""
    setup = as_placed(block(6, 6, 18), lamps=[SMALL, OTHER])
    shot = Shot(setup, "", setup_geometry(setup, finishes(), 4, 4), CameraModel(), np.full(351, 1e-4))
    by_receptor = np.array([[800.0, 20.0, 0.0], [80.0, 400.0, 0.0], [5.0, 4.0, 3.0]])
    return HeroLight(shot, setup, np.repeat(by_receptor[:, None, None, :] / 2, 2, axis=2))


def test_the_meter_reads_that_lamp_alone_as_dimmed_direct_and_indirect() -> None:
    assert [reading.lux for reading in lamp_readings(light())] == pytest.approx([800.0, 100.0])


def test_the_rooms_light_is_told_apart() -> None:
    assert room_lux(light()) == pytest.approx(5.0)


def test_the_meter_is_where_the_string_enters_the_model() -> None:
    hero = np.asarray(light().setup.hero_cm)
    assert hero == pytest.approx([0, 0, 15])
    assert [reading.from_lamp_cm for reading in lamp_readings(light())] == pytest.approx([27.0, 37.0])


def test_a_small_lamp_loses_by_inverse_square() -> None:
    for reading, away in zip(lamp_readings(light()), (27.0, 37.0), strict=True):
        assert reading.stops_per_cm == pytest.approx(2 * math.log2((away + 1) / away), rel=2e-3)
