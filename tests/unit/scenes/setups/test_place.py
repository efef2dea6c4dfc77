"""Places and the stage: what lamps aim at and stand round."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest

from scenes.arrangement.arrangement import BackdropModel, CameraModel
from scenes.arrangement.reading import fill_model
from scenes.setups.place import Place, Stage
from scenes.stage.backdrop import lay_sweep
from scenes.stage.viewpoint import look_at
from scenes.subject.from_meshes import subject_from_parts

from .test_setup import FIGURE, box

MIDDLE = 8.3


def stage(facing_deg: float = 0.0, backdrop: str = "none", parts: Any = FIGURE, **camera: Any) -> Stage:
    """Return the stage of a model of parts."""
    subject = subject_from_parts("model", parts)
    view = look_at(subject, fill_model(camera, CameraModel, "test"))
    sweep = lay_sweep(fill_model({"kind": backdrop}, BackdropModel, "test"), subject.size_cm, view)
    hero = subject.aim_cm()
    return Stage(subject, view, sweep, facing_deg, (float(hero[0]), float(hero[1]), float(hero[2])), "figure")


STAGE, SWEPT = stage(), stage(backdrop="sweep")


def test_a_place_faces_its_aim_and_has_its_corners_square_to_that() -> None:
    place = Place((10, -20, 30), (10, 0, 30))
    assert place.facing.tolist() == [0, 1, 0]
    got = sorted(map(tuple, place.corners((4, 2)).tolist()))
    assert got == [(8, -20, 29), (8, -20, 31), (12, -20, 29), (12, -20, 31)]


@pytest.mark.parametrize(("aim", "point"), [("hero", STAGE.hero_cm), ("middle", (0, 0, MIDDLE)), ("base", (0, 0, 0))])
def test_a_lamp_can_aim_at_the_hero_the_middle_or_the_base(aim: str, point: tuple[float, float, float]) -> None:
    np.testing.assert_allclose(STAGE.aim(aim), point, atol=1e-5)


def test_the_sheet_that_a_lamp_aims_at_is_wall_round_a_figure_and_table_round_what_is_seen_from_above() -> None:
    assert SWEPT.sweep is not None
    over_figure = SWEPT.aim("sheet")
    assert over_figure[1] > SWEPT.sweep.wall_cm / 2
    assert abs(over_figure[0]) < 1
    slab = stage(backdrop="sweep", parts=[box("slab", (16, 16, 2), (0, 0, 1))], height_cm=60)
    assert slab.sweep is not None
    assert slab.aim("sheet")[2] < 2
    assert slab.aim("sheet")[1] < slab.sweep.wall_cm / 2


def test_without_a_sheet_a_lamp_aims_at_where_it_would_be() -> None:
    assert STAGE.aim("sheet")[1] == pytest.approx(2.5 * STAGE.subject.size_cm)
