"""The light at the hero: closed forms on a black table, the same for any paint, frame and hat, and what meters it."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path
from typing import Any

import numpy as np
import pytest
import trimesh

from gallery.frames.close_up import close_up
from materials.surface.finish import Finish
from render.description.scene import setup_geometry
from render.frame import take_frame
from render.hero_light import CARD, HeroLight, hero_light, metering_lamp
from render.images.jobs import measure_receptors
from render.images.store.store import Store
from render.images.tracing import Tracing
from render.readings.metering import unobstructed_lux
from render.shot import Shot
from render.shot_light import ShotLight, shot_light
from scenes.arrangement.arrangement import Arrangement
from scenes.arrangement.reading import fill_model
from scenes.setups.place_setup import place_setup
from scenes.setups.placed import AS_PLACED
from scenes.subject.from_meshes import subject_from_parts
from scenes.subject.subject import Subject
from scenes.units import stops
from tests.support.arrangements import resolved
from tests.unit.render.readings.test_receptors import ball_under_a_brim

LAMP: dict[str, Any] = {"name": "A", "size_cm": [20, 14], "at_cm": [-20, -30, 40], "aim_cm": [0, 0, 5]}
SECOND: dict[str, Any] = {**LAMP, "name": "B", "at_cm": [30, -30, 30]}
HIGH_KEY = """
reads_as = "a white surround"
exposure_stops = 0.5
[backdrop]
reflectance = "white poster board"
[[lamps]]
role = "key"
round_deg = -10
rise_deg = 42
distance = 2.6
[[lamps]]
role = "backdrop"
from_camera = true
rise_deg = 60
distance = 1.5
aim = "sheet"
sheet_over_white = 1.1
"""


@pytest.fixture
def tracing(tmp_path: Path) -> Tracing:
    return Tracing(Store(tmp_path / "store"))


def ball(radius_cm: float = 4.0) -> Subject:
    mesh = trimesh.creation.icosphere(subdivisions=4, radius=radius_cm)
    mesh.apply_translation([0, 0, radius_cm])
    return subject_from_parts("ball", [("head", mesh.vertices, mesh.faces)])


def shot_of(
    subject: Subject | None, *lamps: dict[str, Any], setup: str = AS_PLACED, size: tuple[int, int] = (36, 48),
    finish: Finish | None = None, black: bool = True, **keys: Any,
) -> Shot:  # fmt: skip
    declared: dict[str, Any] = {"lamps": list(lamps), **keys}
    if black:
        declared["backdrop"] = {"reflectance": 0.0}
    if subject is not None:
        declared["subject"] = {"mesh": "x", "hero": "head"}
    arrangement = resolved(fill_model(declared, Arrangement, "test"), subject)
    placed = place_setup(setup, arrangement, size[0] / size[1])
    geometry = setup_geometry(placed, arrangement.finishes, *size)
    if finish is not None:
        painted = [replace(s, finish=finish) if s.kind == "subject" else s for s in geometry.surfaces]
        geometry = replace(geometry, surfaces=tuple(painted))
    return Shot(placed, "as-built", geometry, arrangement.declared.camera, arrangement.room)


def closed_form(light: HeroLight, receptor: int) -> float:
    return sum(
        unobstructed_lux(emitter.shape, light.shot.receptors[receptor], emitter.dimmed_radiance)
        for emitter in light.emitters
    )


@pytest.mark.parametrize("subject", [None, ball_under_a_brim()])
def test_over_a_black_table_the_lux_is_howells_factor_with_or_without_a_brim(
    subject: Subject | None, tracing: Tracing
) -> None:
    light = hero_light(shot_of(subject, LAMP, {**SECOND, "dimmer": 0.3}), tracing)
    assert light.basis == "facing the key, model away"
    assert light.metered_lux == pytest.approx(closed_form(light, 0), rel=0.005)
    assert light.by_emitter(CARD).sum() == pytest.approx(closed_form(light, CARD), rel=0.005)
    assert light.lux_error < 0.002 * light.metered_lux


def test_a_pale_table_adds_its_bounce_and_the_room_its_light(tracing: Tracing) -> None:
    black = hero_light(shot_of(ball(), LAMP), tracing)
    pale = hero_light(shot_of(ball(), LAMP, black=False, room={"lux": 100}), tracing)
    assert pale.metered_lux > black.metered_lux + pale.room_lux
    assert 40 < pale.room_lux < 100  # the table hides half of the room and bounces some
    assert pale.lux_error < 0.01 * pale.metered_lux


def test_a_reading_does_not_depend_on_what_is_measured_with_it(tmp_path: Path) -> None:
    shots = [shot_of(ball(), *lamps, black=False) for lamps in ((LAMP,), (SECOND, {**LAMP, "name": "C"}), (SECOND,))]
    measure_receptors(shots, Tracing(Store(tmp_path / "together")))
    together, alone = Tracing(Store(tmp_path / "together")), Tracing(Store(tmp_path / "alone"))
    together._tracer_of = None  # type: ignore[assignment, method-assign]  # any trace would call it
    for shot in shots:
        expected = hero_light(shot, alone).full_lux
        np.testing.assert_allclose(hero_light(shot, together).full_lux, expected, rtol=1e-4, atol=1e-6)


def test_three_paints_get_one_shutter_and_keep_their_lightness(tmp_path: Path) -> None:
    reflectances, frames, levels = (0.03, 0.18, 0.90), [], []
    for reflectance in reflectances:
        tracing = Tracing(Store(tmp_path / str(reflectance)))
        shot = shot_of(ball(), LAMP, finish=Finish.board(reflectance))
        frames.append(take_frame(shot, tracing, 2))
        light = shot_light(shot, tracing, 2)
        levels.append(float(light.xyz[..., 1][light.subject_mask].mean()))
    assert len({frame.exposure for frame in frames}) == 1
    assert len({frame.readings.subject_lux for frame in frames}) == 1
    assert stops(levels[1] / levels[0]) == pytest.approx(stops(0.18 / 0.03), abs=0.02)  # a ball lights itself nowhere
    assert stops(levels[2] / levels[1]) == pytest.approx(stops(0.90 / 0.18), abs=0.02)


def test_a_close_up_and_another_size_read_the_same_light(tracing: Tracing) -> None:
    whole, larger = (shot_of(ball_under_a_brim(), LAMP, SECOND, size=size) for size in ((36, 48), (60, 80)))
    detail = replace(whole, setup=close_up(whole.setup, "brim", None))
    expected = hero_light(whole, tracing).full_lux
    for shot in (larger, detail):
        np.testing.assert_array_equal(hero_light(shot, tracing).full_lux, expected)


@pytest.mark.parametrize(
    ("roles", "dimmers", "facing", "meters"),
    [
        (("rim", "key"), (1.0, 0.1), (900, 100), 1),  # the key, however weak
        (("rim", "fill"), (1.0, 0.5), (300, 500), 0),  # without one, what gives most as dimmed
        (("key", "fill"), (0.0, 0.5), (900, 500), 1),  # a key that is off meters nothing
        (("key", "fill"), (1.0, 0.5), (0.0, 500), 1),
        (("key", "fill"), (0.0, 0.0), (900, 500), None),
    ],
)
def test_the_key_meters_or_else_the_lamp_that_gives_most(
    roles: tuple[str, str], dimmers: tuple[float, float], facing: tuple[float, float], meters: int | None
) -> None:
    placed = shot_of(ball(), LAMP, SECOND).setup
    lamps = [
        replace(lamp, role=role, dimmer=dimmer) for lamp, role, dimmer in zip(placed.lamps, roles, dimmers, strict=True)
    ]
    assert metering_lamp(replace(placed, lamps=tuple(lamps)), facing) == meters


def test_with_no_lamp_lit_the_receptor_that_faces_the_camera_meters(tracing: Tracing) -> None:
    light = hero_light(shot_of(ball(), {**LAMP, "dimmer": 0}, room={"lux": 100}), tracing)
    assert light.basis == "facing the camera, model away"
    assert light.metered_lux == light.room_lux > 0


def test_the_setups_stops_count_where_its_own_meter_does(tracing: Tracing) -> None:
    def metered(exposure: str, meter: Any) -> tuple[str, float]:
        shot = shot_of(ball(), LAMP, camera={"exposure": exposure, "stops": 0.5})
        light = hero_light(replace(shot, setup=replace(shot.setup, meter=meter, exposure_stops=1.0)), tracing)
        return light.basis, light.exposure_stops

    assert metered("key", "key") == ("facing the key, model away", 1.5)
    assert metered("key", "card") == ("facing the camera, model away", 1.5)
    assert metered("card", "key") == ("facing the camera, model away", 0.5)


def test_a_scene_is_metered_by_its_own_luminance(tracing: Tracing) -> None:
    dark, pale = (
        take_frame(shot_of(ball(), LAMP, camera={"exposure": "scene"}, finish=Finish.board(r)), tracing, 1)
        for r in (0.03, 0.9)
    )
    assert dark.metered == "the whole frame"
    assert dark.exposure.shutter_s > 2 * pale.exposure.shutter_s


def test_the_sheet_of_a_high_key_is_as_white_as_wanted_for_any_paint_and_size(tmp_path: Path, tracing: Tracing) -> None:
    (tmp_path / "white.toml").write_text(HIGH_KEY)
    lamps = [{"name": name, "size_cm": [20, 14], "lumens": 900} for name in "ab"]

    def lit(reflectance: float, size: tuple[int, int]) -> ShotLight:
        shot = shot_of(
            ball_under_a_brim(), *lamps, setup=str(tmp_path / "white.toml"), size=size, black=False,
            finish=Finish.board(reflectance),
        )  # fmt: skip
        return shot_light(shot, tracing, 2)

    lights = [lit(0.03, (36, 48)), lit(0.9, (36, 48)), lit(0.18, (60, 80))]
    assert len({tuple(lamp.dimmer for lamp in light.setup.lamps) for light in lights}) == 1
    assert len({light.chosen_exposure.exposure for light in lights}) == 1
    assert not lights[0].setup.shortfalls
    for light in lights:
        sheet = float(np.median(light.xyz[..., 1][light.backdrop_mask]))
        exposure = light.chosen_exposure.exposure
        assert stops(sheet / exposure.white_cd_m2) == pytest.approx(stops(1.1), abs=0.1 + 1 / 6)  # of the real steps
        metered = exposure.incident_lux / (light.metered_lux / 2**0.5)
        assert sheet / exposure.white_cd_m2 * metered == pytest.approx(1.1, rel=0.05)
