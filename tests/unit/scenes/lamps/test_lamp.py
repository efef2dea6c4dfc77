"""A lamp's lumens, spectrum and distribution, from whatever is known of it."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import numpy as np
import pytest

from materials.light.colour_temperature import cct_duv
from materials.light.illuminants import illuminant_names
from materials.light.spectra import photometric_value, xyz
from scenes.errors import InputError
from tests.support.arrangements import lamp
from tests.unit.scenes.lamps.files.test_ies import ies
from tests.unit.scenes.lamps.files.test_tm27 import FILE as TM27

PANEL: dict[str, Any] = {"size_cm": (30, 20)}
DISC: dict[str, Any] = {"kind": "disc", "diameter_cm": 20}
RING: dict[str, Any] = {"kind": "ring", "diameter_cm": 26, "hole_cm": 19}
BULB: dict[str, Any] = {"kind": "bulb", "diameter_cm": 6}
SMALL: dict[str, Any] = {"size_cm": (1, 1)}
SNOOT = {"length_cm": 10, "diameter_cm": 5}


def lumens(**keys: Any) -> float:
    return lamp(**keys).lumens


def chromaticity(folder: Path = Path(), /, **keys: Any) -> tuple[float, float]:
    x, y, z = xyz(lamp(folder, **PANEL, **keys).spectrum)
    return float(x / (x + y + z)), float(y / (x + y + z))


def through_tube(length_over_diameter: float) -> float:
    """Two equal coaxial discs (Howell, Catalog of Radiation Configuration Factors, C-41): what leaves a black tube."""
    x = 2 + (2 * length_over_diameter) ** 2
    return float(x - np.sqrt(x * x - 4)) / 2


def disc_lux_per_lumen(radius: float, distance: float, area: float) -> float:
    """Howell B-12: E = pi L r^2 / (r^2 + h^2), of a face that gives one lumen over `area`."""
    return radius**2 / (radius**2 + distance**2) / area


METERED = {
    "panel, Howell B-4": (PANEL, 1172.404, 50, 1000.0),
    "panel near, Howell B-4": (PANEL, 10584.41, 10, 1000.0),
    "disc, Howell B-12": (DISC, 612.134, 50, 500.0),
    "ball: lumens over 4 pi d^2": (BULB, 1000 / (4 * np.pi * 0.25), 50, 1000.0),
    "ring: outer less inner disc, Howell B-12": (
        RING,
        1200 * (disc_lux_per_lumen(0.13, 0.5, ra := np.pi * (0.13**2 - 0.095**2)) - disc_lux_per_lumen(0.095, 0.5, ra)),
        50,
        1200.0,
    ),
    "narrow beam from afar: lx d^2 times 2 pi / (m + 1)": (
        {**SMALL, "beam_deg": 60},
        100.0,
        200,
        100.0 * 4 * 2 * np.pi / (1 + np.log(0.5) / np.log(np.cos(np.radians(30)))),
    ),
}


@pytest.mark.parametrize("case", METERED)
def test_lumens_are_those_that_give_the_meters_lux(case: str) -> None:
    keys, lux, cm, expected = METERED[case]
    assert lumens(**keys, lux_at={"lux": lux, "cm": cm}) == pytest.approx(expected, rel=1e-3)


@pytest.mark.parametrize("keys", [PANEL, DISC, RING, BULB, {**PANEL, "beam_deg": 40}, {**PANEL, "grid_deg": 40}])
def test_twice_the_lux_are_twice_the_lumens(keys: dict[str, Any]) -> None:
    one, two = (lumens(**keys, lux_at={"lux": lux, "cm": 60}) for lux in (200, 400))
    assert two == pytest.approx(2 * one)


def test_the_same_lux_twice_as_far_are_four_times_the_lumens_of_a_bulb() -> None:
    near, far = (lumens(**BULB, lux_at={"lux": 100, "cm": cm}) for cm in (50, 100))
    assert far == pytest.approx(4 * near)


def test_a_meter_inside_a_bulb_is_refused() -> None:
    with pytest.raises(InputError, match="lies inside the bulb"):
        lamp(**BULB, lux_at={"lux": 100, "cm": 2})


def test_a_meter_that_the_lamp_does_not_reach_is_refused() -> None:
    with pytest.raises(InputError):
        lamp(**RING, grid_deg=10, lux_at={"lux": 100, "cm": 20})


@pytest.mark.parametrize(
    ("spectrum", "efficacy"),
    [
        ("led", 100),
        ("blackbody", 14),
        ("FL11", 100),
        ("A", 14),
    ],
)
def test_watts_stand_in_for_lumens_and_it_is_said(spectrum: str, efficacy: float) -> None:
    """14 lm/W of filament lamps and 100 of LEDs, as labels have them: common practice, no source."""
    light = lamp(**PANEL, spectrum=spectrum, watts=15)
    assert light.lumens == pytest.approx(15 * efficacy)
    assert light.notes == (
        f"a: lumens are taken from 15 W at {efficacy} lm/W, right within 30 %, half a stop: a light meter's lux_at "
        "is better",
    )


def test_lumens_stand_over_watts_and_of_nothing_known_there_are_1000() -> None:
    assert (lumens(**PANEL, lumens=300, watts=90), lumens(**PANEL)) == (300, 1000)
    assert lamp(**PANEL, lumens=300, watts=90).notes == ()


@pytest.mark.parametrize("grid_deg", [10, 40, 60, 90])
@pytest.mark.parametrize("keys", [PANEL, DISC, RING])
def test_a_grid_lets_out_what_black_tubes_of_its_angle_do(keys: dict[str, Any], grid_deg: float) -> None:
    share = through_tube(1 / np.tan(np.radians(grid_deg / 2)))
    assert lumens(**keys, grid_deg=grid_deg) == pytest.approx(1000 * share, rel=2e-3)


@pytest.mark.parametrize(("keys", "area_cm2"), [(PANEL, 600), (DISC, np.pi * 100), (RING, np.pi * (13**2 - 9.5**2))])
def test_a_snoot_lets_out_what_enters_it_and_leaves_it_again(keys: dict[str, Any], area_cm2: float) -> None:
    enters = np.pi * 2.5**2 / area_cm2
    assert lumens(**keys, snoot=SNOOT) == pytest.approx(1000 * enters * through_tube(2), rel=2e-3)


def test_a_snoot_wider_than_the_lamp_gains_no_light() -> None:
    assert lumens(size_cm=(2, 2), snoot=SNOOT) == pytest.approx(1000 * through_tube(2), rel=2e-3)


@pytest.mark.parametrize(("other", "share"), [({}, 1.0), ({"beam_deg": 30}, 1.0), ({"grid_deg": 40}, None)])
def test_a_sheet_takes_its_part_and_spreads_the_rest_evenly(other: dict[str, Any], share: float | None) -> None:
    """Tracing paper passes .60 (common practice, no source)."""
    light = lamp(**PANEL, **other, diffuser="tracing paper")
    assert light.lumens == pytest.approx(0.6 * (1000 * share if share else lumens(**PANEL, **other)))
    assert light.distribution is None


def test_a_beam_is_half_as_bright_at_half_its_angle_and_loses_no_lumens() -> None:
    light = lamp(**PANEL, beam_deg=50)
    assert light.distribution is not None
    assert light.distribution.at([0.0, 25.0]) == pytest.approx([1.0, 0.5], rel=1e-3)
    assert light.lumens == 1000


ALL_ROUND = ies(vertical="0 180", candela="100 100", opening=".3 .2 0")
DOWN = ies(vertical="0 45 90", candela="100 50 0", opening=".2 .3 0")


def test_the_light_of_a_file_behind_a_face_is_left_out_and_said(tmp_path: Path) -> None:
    (tmp_path / "a.ies").write_text(ALL_ROUND)
    light = lamp(tmp_path, **PANEL, lumens=800, photometry="a.ies")
    assert light.lumens == pytest.approx(400)
    assert light.notes == ("a: 50 % of its light leaves to the back and is left out",)


def test_a_bulb_keeps_the_light_of_a_file_all_round(tmp_path: Path) -> None:
    (tmp_path / "a.ies").write_text(ALL_ROUND)
    light = lamp(tmp_path, **BULB, lumens=800, photometry="a.ies")
    assert (light.lumens, light.notes) == (800, ())


def test_the_notes_of_a_file_are_told_with_the_lamps_name(tmp_path: Path) -> None:
    (tmp_path / "a.ies").write_text(DOWN.replace("1 -1", "1 10"))
    (note,) = lamp(tmp_path, **PANEL, lumens=900, photometry="a.ies").notes
    assert note.startswith("a: its intensities add up to ")


@pytest.mark.parametrize(
    "keys",
    [{}, {"spectrum": "led"}, {"spectrum": "blackbody"}, {"kelvin_range": (3200, 5600)}]
    + [{"spectrum": name} for name in illuminant_names()],
    ids=str,
)
def test_every_spectrum_gives_one_lumen(keys: dict[str, Any]) -> None:
    assert photometric_value(lamp(**PANEL, **keys).spectrum) == pytest.approx(1, rel=1e-9)


@pytest.mark.parametrize(
    ("keys", "xy"),
    [
        ({"spectrum": "A"}, (0.4476, 0.4074)),
        ({"spectrum": "D65"}, (0.3127, 0.3290)),
        ({"spectrum": "FL11"}, (0.3805, 0.3769)),
        ({"kelvin": 4000}, (0.3805, 0.3768)),
        ({"kelvin": 4000, "spectrum": "led"}, (0.3805, 0.3768)),
        ({"kelvin": 2856, "spectrum": "blackbody"}, (0.4476, 0.4074)),
    ],
    ids=str,
)
def test_each_has_the_chromaticity_that_is_published(keys: dict[str, Any], xy: tuple[float, float]) -> None:
    """CIE 15:2018 (memory) for A, D65 and FL11; the Planckian locus at 4000 K (memory), 2-degree observer."""
    assert chromaticity(**keys) == pytest.approx(xy, abs=4e-4)


@pytest.mark.parametrize("kelvin", [3200, 4000, 5600])
def test_a_bicolour_lamp_has_the_colour_temperature_that_it_is_set_to(kelvin: float) -> None:
    got, duv = cct_duv(lamp(**PANEL, kelvin=kelvin, kelvin_range=(3200, 5600)).spectrum)
    assert got == pytest.approx(kelvin, abs=2)
    assert duv < 1e-6  # on the straight line between its ends, which lies under the locus


def test_a_spectrum_is_read_from_columns_or_from_tm27(tmp_path: Path) -> None:
    """Equal energy lies at x = y = 1/3 by definition (CIE 15:2018)."""
    (tmp_path / "even.csv").write_text("".join(f"{nm},7\n" for nm in range(380, 781, 5)))
    (tmp_path / "rising.spdx").write_text(TM27)
    assert chromaticity(tmp_path, spectrum="even.csv") == pytest.approx((1 / 3, 1 / 3), abs=2e-4)
    rising = lamp(tmp_path, **PANEL, spectrum="rising.spdx").spectrum
    assert rising[620 - 380] / rising[500 - 380] == pytest.approx(620 / 500)


def test_a_spectrum_of_a_file_that_is_wrong_is_refused(tmp_path: Path) -> None:
    with pytest.raises(InputError, match="there is no such file"):
        lamp(tmp_path, **PANEL, spectrum="gone.csv")


@pytest.mark.parametrize("keys", [{"spectrum": "led", "kelvin": 1500}, {"kelvin_range": (1500, 5600)}], ids=str)
def test_an_led_warmer_than_any_is_refused(keys: dict[str, Any]) -> None:
    with pytest.raises(InputError, match="a white LED has 1800 to 20000 K here, not 1500 K"):
        lamp(**PANEL, **keys)


@pytest.mark.parametrize(
    ("keys", "kind", "half"),
    [
        (PANEL, "panel", (15, 10)),
        (DISC, "disc", (10, 10)),
        (RING, "ring", (13, 9.5)),
        (BULB, "bulb", (3, 3)),
        ({**PANEL, "snoot": SNOOT}, "disc", (2.5, 2.5)),
    ],
)
def test_a_face_stands_where_the_lamp_does_and_looks_its_way(
    keys: dict[str, Any], kind: str, half: tuple[float, float]
) -> None:
    face = lamp(**keys).emitter(np.array([1.0, 2, 3]), np.array([0.0, -0.6, -0.8]))
    assert (face.kind, face.half, face.at.tolist()) == (kind, half, [1, 2, 3])
    assert kind == "bulb" or face.axes[:, 2] == pytest.approx([0, -0.6, -0.8])


def test_a_lamp_of_which_nothing_is_known_is_said_to_be_guessed() -> None:
    light = lamp(**PANEL)
    assert light.lumens == 1000
    assert "nothing says how bright it is" in light.notes[0]


def test_a_lamp_whose_light_nothing_lets_through_is_told(tmp_path: Path) -> None:
    (tmp_path / "up.ies").write_text(ies(vertical="90 135 180", candela="0 50 100", opening=".2 .3 0"))
    with pytest.raises(InputError, match="sends no light forward"):
        lamp(tmp_path, **PANEL, photometry="up.ies")


def test_the_share_is_what_leaves_of_the_lumens_on_the_label() -> None:
    light = lamp(**PANEL, lumens=1000, grid_deg=40)
    assert light.lumens == pytest.approx(1000 * light.share)
    assert 0 < light.share < 0.1


@pytest.mark.parametrize(("size_cm", "upright"), [([20, 14], True), ([14, 20], False)])
def test_a_panel_turned_by_a_quarter_turns_its_axes_and_so_its_measured_beam(
    size_cm: list[float], upright: bool
) -> None:
    panel = lamp(size_cm=size_cm)
    at, facing = np.zeros(3), np.array([0.0, -1.0, 0.0])
    as_declared, turned = (panel.emitter(at, facing, upright=way) for way in (not upright, upright))
    np.testing.assert_allclose(turned.axes[:, 0], as_declared.axes[:, 1])
    np.testing.assert_allclose(turned.axes[:, 1], -as_declared.axes[:, 0])
    assert turned.half == as_declared.half
    reach = np.abs(turned.axes[:, :2]) @ turned.half
    width, height = panel.extent_turned(upright=upright)
    np.testing.assert_allclose(reach, (width / 2, 0, height / 2), atol=1e-12)
    assert (height > width) is upright


def test_a_disc_is_the_same_however_it_is_turned() -> None:
    disc = lamp(kind="disc", diameter_cm=10)
    at, facing = np.zeros(3), np.array([0.0, -1.0, 0.0])
    np.testing.assert_array_equal(disc.emitter(at, facing, upright=True).axes, disc.emitter(at, facing).axes)
