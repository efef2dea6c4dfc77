"""What a lamp may say of itself, and what a preset fills in."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from scenes.arrangement.lamp_model import LampModel, lamp_presets
from scenes.errors import InputError
from tests.support.arrangements import SOURCE, lamp
from tests.unit.scenes.lamps.files.test_ies import ies

PANEL = {"size_cm": [20, 14]}
RING = {"kind": "ring", "diameter_cm": 26, "hole_cm": 19}
BULB = {"kind": "bulb", "diameter_cm": 6}
TUBE = {"length_cm": 8, "diameter_cm": 4}
LEFT_TO_SETUPS = "{} is of a lamp fixed by hand: give at_cm and aim_cm, or leave it to the setups"
METER = {"lux": 500, "cm": 50}


def refusal(folder: Path = Path(), /, **keys: Any) -> str:
    with pytest.raises(InputError) as caught:
        lamp(folder, **keys)
    return str(caught.value).removeprefix(f'{SOURCE}: lamps[1] "a": ')


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """Return a folder with a photometric file in it."""
    (tmp_path / "a.ies").write_text(ies())
    return tmp_path


@pytest.mark.parametrize("name", lamp_presets())
def test_every_preset_is_a_whole_lamp_with_light(name: str) -> None:
    told = {key: tuple(v) if isinstance(v, list) else v for key, v in lamp_presets()[name].items()}
    assert told.pop("description")
    filled = lamp(preset=name)
    assert {key: getattr(filled.model, key) for key in told} == told
    assert filled.lumens == told["lumens"]


@pytest.mark.parametrize(
    ("preset", "own", "told"),
    [
        ("desk panel", {"lumens": 50}, {"lumens": 50, "size_cm": (20, 14)}),
        ("desk panel", {"watts": 9}, {"lumens": None, "watts": 9}),
        ("desk panel", {"lux_at": METER}, {"lumens": None}),
        ("desk panel", {"size_cm": [9, 8]}, {"size_cm": (9, 8), "lumens": 900}),
        ("desk panel", {"kind": "disc", "diameter_cm": 9}, {"size_cm": None, "diameter_cm": 9}),
        ("desk panel", {"spectrum": "led", "kelvin": 6500}, {"kelvin_range": None, "spectrum": "led"}),
        ("clip lamp", {"kelvin_range": [2700, 6500]}, {"spectrum": None, "beam_deg": 80}),
        ("clip lamp", {"diffuser": "tracing paper", "dimmable": True}, {"beam_deg": 80, "dimmable": True}),
        ("ring light", {"diameter_cm": 30}, {"diameter_cm": 30, "hole_cm": 19}),
    ],
)
def test_what_the_person_says_stands_over_the_preset_and_over_other_ways_to_say_it(
    preset: str, own: dict[str, Any], told: dict[str, Any]
) -> None:
    filled = lamp(preset=preset, **own).model
    assert {key: getattr(filled, key) for key in told} == told


def test_a_measured_distribution_stands_over_the_beam_of_a_preset(folder: Path) -> None:
    assert lamp(folder, preset="clip lamp", photometry="a.ies").model.beam_deg is None


def test_an_unknown_preset_is_told_with_the_nearest_spelling() -> None:
    assert (
        refusal(preset="desk pannel") == "preset: no generic lamp is called 'desk pannel' (did you mean 'desk panel'?)"
    )


@pytest.mark.parametrize(
    ("keys", "told"),
    [
        ({}, "a panel takes size_cm = [width, height]"),
        ({**PANEL, "diameter_cm": 4}, "a panel takes size_cm = [width, height]"),
        ({"kind": "disc"}, "a disc takes diameter_cm"),
        ({"kind": "bulb", **PANEL}, "a bulb takes diameter_cm"),
        ({"kind": "ring", "diameter_cm": 20}, "hole_cm is missing: how wide the ring's hole is"),
        (
            {"kind": "disc", "diameter_cm": 20, "hole_cm": 4},
            "a disc has no hole: leave hole_cm out, or give kind = 'ring'",
        ),
        ({**RING, "hole_cm": 26}, "a ring 26 cm across has no hole of 26 cm"),
        ({"kind": "lamp", **PANEL}, "kind = \"lamp\": should be 'panel', 'disc', 'ring' or 'bulb'"),
        ({**PANEL, "at_cm": [0, -30, 20]}, "a lamp fixed by hand takes both at_cm and aim_cm"),
        ({**PANEL, "aim_cm": [0, 0, 5]}, "a lamp fixed by hand takes both at_cm and aim_cm"),
        ({**PANEL, "role": "fill"}, LEFT_TO_SETUPS.format("role")),
        ({**PANEL, "upright": True}, LEFT_TO_SETUPS.format("upright")),
        ({**BULB, "at_cm": [0, -30, 20], "upright": True}, "a bulb has no longer side: leave upright out"),
    ],
)
def test_a_lamp_has_the_size_of_its_kind(keys: dict[str, Any], told: str) -> None:
    assert refusal(**keys) == told


@pytest.mark.parametrize("other", [{"lumens": 500}, {"watts": 9}])
def test_a_meters_reading_stands_alone(other: dict[str, Any]) -> None:
    assert refusal(**PANEL, lux_at=METER, **other) == "lux_at says how bright it is: leave lumens and watts out"


def test_lumens_and_watts_may_both_be_known() -> None:
    assert lamp(**PANEL, lumens=900, watts=10).model.watts == 10


@pytest.mark.parametrize(
    "shaper",
    [{"beam_deg": 40}, {"grid_deg": 40}, {"snoot": TUBE}, {"diffuser": "tracing paper"}],
    ids=lambda s: next(iter(s)),
)
def test_a_bulb_takes_nothing_that_belongs_to_a_face(shaper: dict[str, Any]) -> None:
    told = f"a bulb shines all round and takes no {next(iter(shaper))}; a lamp with a reflector is a disc"
    assert refusal(**BULB, **shaper) == told
    assert lamp(**RING, **shaper).model.kind == "ring"


@pytest.mark.parametrize(
    ("keys", "told"),
    [
        ({"photometry": "a.ies", "beam_deg": 40}, "photometry says where the light goes: leave beam_deg out"),
        ({"grid_deg": 40, "snoot": TUBE}, "give grid_deg or snoot, not both"),
        ({"beam_deg": 1}, "beam_deg = 1: should be 2 or more"),
        ({"beam_deg": 171}, "beam_deg = 171: should be 170 or less"),
        ({"grid_deg": 4}, "grid_deg = 4: should be 5 or more"),
        ({"lumens": 0}, "lumens = 0: should be greater than 0"),
        ({"dimmer": 1.5}, "dimmer = 1.5: should be 1 or less"),
    ],
)
def test_its_light_goes_one_way_alone(folder: Path, keys: dict[str, Any], told: str) -> None:
    assert refusal(folder, **PANEL, **keys) == told


@pytest.mark.parametrize(
    ("keys", "told"),
    [
        ({"kelvin": 7000}, "kelvin = 7000 lies outside the lamp's kelvin_range, 3200 to 5600"),
        ({"kelvin": 3199}, "kelvin = 3199 lies outside the lamp's kelvin_range, 3200 to 5600"),
        ({"spectrum": "D65"}, "a bi-colour lamp makes its light of two channels: leave spectrum out"),
        ({"kelvin_range": [5600, 3200]}, "kelvin_range goes from warm to cool, not from 5600 to 3200"),
        ({"kelvin_range": [4000, 4000]}, "kelvin_range goes from warm to cool, not from 4000 to 4000"),
    ],
)
def test_a_bicolour_lamp_goes_from_warm_to_cool_and_no_further(keys: dict[str, Any], told: str) -> None:
    assert refusal(**PANEL, **{"kelvin_range": [3200, 5600], **keys}) == told


@pytest.mark.parametrize("kelvin", [3200, 5600])
def test_a_bicolour_lamp_reaches_both_ends(kelvin: float) -> None:
    assert lamp(**PANEL, kelvin_range=[3200, 5600], kelvin=kelvin).model.kelvin == kelvin


@pytest.mark.parametrize(
    ("said", "told"),
    [("leds", "(did you mean 'led'?)"), ("FL13", "(did you mean 'FL3'?)"), ("LED-B9", "(did you mean 'LED-B")],
)
def test_an_unknown_spectrum_is_told_with_the_nearest_spelling(said: str, told: str) -> None:
    assert refusal(**PANEL, spectrum=said).startswith(f"spectrum: no spectrum is called '{said}' {told}")


@pytest.mark.parametrize(
    "said", ["mine.csv", "mine.TXT", "sub/mine.spdx", "mine.xml", "D65", "FL11", "led", "blackbody"]
)
def test_a_spectrum_is_a_name_or_a_file(said: str) -> None:
    assert LampModel(name="a", spectrum=said).spectrum == said


@pytest.mark.parametrize(
    ("said", "told"),
    [("tracing papr", "did you mean 'tracing paper'?"), ("white paper", "there are: tracing paper")],
)
def test_only_what_lets_light_through_lies_on_a_lamp(said: str, told: str) -> None:
    assert refusal(**PANEL, diffuser=said) == f"diffuser: no diffuser is called '{said}' ({told})"


@pytest.mark.parametrize(
    ("keys", "extent"),
    [(PANEL, (20, 14)), (RING, (26, 26)), (BULB, (6, 6)), ({**PANEL, "snoot": TUBE}, (4, 4))],
)
def test_what_shines_is_as_large_as_the_lamp_or_as_its_snoot(keys: dict[str, Any], extent: tuple[float, float]) -> None:
    assert lamp(**keys).extent_cm == extent
