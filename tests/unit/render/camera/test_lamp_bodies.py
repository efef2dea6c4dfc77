"""The pixels where a lamp's body is visible, and the radiance of its lit face."""

from __future__ import annotations

from typing import Literal

import numpy as np
import pytest
from numpy.typing import ArrayLike, NDArray

from render.camera import lamp_bodies
from render.camera.lamp_bodies import camera_rays, visible_body
from render.camera.window import WHOLE
from render.description.scene import Camera
from scenes.geometry import axes_facing
from scenes.lamps.emitter_shape import EmitterShape

WIDTH, HEIGHT = 90, 120
AT = np.array([0.0, -1.0, 0.2])
TAN = 0.3
CAMERA = Camera(AT, np.column_stack([[1.0, 0, 0], [0, 0, 1.0], [0, 1.0, 0]]), TAN, WIDTH, HEIGHT)
FAR = np.full((HEIGHT, WIDTH), 1e3, np.float32)
PIXEL_M2 = (2 * TAN / HEIGHT) ** 2  # of what lies a metre ahead


def lamp(
    kind: Literal["panel", "disc", "bulb"],
    at: ArrayLike = (0, 0, 0.2),
    facing: ArrayLike = (0, -1, 0),
    half: tuple[float, float] = (0.1, 0.05),
) -> EmitterShape:
    return EmitterShape(kind, np.asarray(at, dtype=float), axes_facing(facing), half)


def test_the_rays_of_the_pixels_are_those_of_a_pinhole() -> None:
    rays = camera_rays(CAMERA)
    assert rays.shape == (HEIGHT, WIDTH, 3)
    np.testing.assert_allclose(np.linalg.norm(rays, axis=-1), 1)
    x, y = rays[..., 0] / rays[..., 1], rays[..., 2] / rays[..., 1]
    edge = TAN * (1 - 1 / HEIGHT)
    assert (y.max(), y.min()) == pytest.approx((edge, -edge))
    assert (x.max(), x.min()) == pytest.approx((TAN * 0.75 * (1 - 1 / WIDTH), -TAN * 0.75 * (1 - 1 / WIDTH)))
    assert y[0, 0] > 0  # the first row is the upper one
    assert x[0, 0] < 0


@pytest.mark.parametrize(
    ("kind", "half", "area"),
    [("panel", (0.1, 0.05), 0.02), ("disc", (0.1, 0.1), np.pi * 0.01), ("bulb", (0.1, 0.1), np.pi * 0.01 / 0.99)],
)
def test_a_lamp_that_faces_the_camera_shows_its_area_all_lit(
    kind: Literal["panel", "disc", "bulb"], half: tuple[float, float], area: float
) -> None:
    body, lit = visible_body(lamp(kind, half=half), CAMERA, FAR)
    np.testing.assert_array_equal(body, lit)
    assert body.sum() * PIXEL_M2 == pytest.approx(area, rel=0.03)


@pytest.mark.parametrize("kind", ["panel", "disc"])
def test_a_lamp_that_faces_away_shows_a_body_that_is_not_lit(kind: Literal["panel", "disc"]) -> None:
    away, _ = visible_body(lamp(kind, facing=(0, 1, 0), half=(0.1, 0.1)), CAMERA, FAR)
    towards, _ = visible_body(lamp(kind, half=(0.1, 0.1)), CAMERA, FAR)
    _, lit = visible_body(lamp(kind, facing=(0, 1, 0), half=(0.1, 0.1)), CAMERA, FAR)
    assert not lit.any()
    np.testing.assert_array_equal(away, towards)


@pytest.mark.parametrize("facing", [(0.8, 0.6, 0), (0.8, -0.6, 0)])
def test_a_lamp_turned_aside_shows_its_foreshortened_body(facing: tuple[float, float, float]) -> None:
    body, lit = visible_body(lamp("panel", facing=facing), CAMERA, FAR)
    assert body.sum() * PIXEL_M2 == pytest.approx(0.02 * 0.6, rel=0.1)
    assert lit.any() == (facing[1] < 0)


def test_a_lamp_seen_on_its_edge_is_not_seen() -> None:
    body, lit = visible_body(lamp("panel", facing=(1, 0, 0)), CAMERA, FAR)
    assert body.sum() <= HEIGHT * 0.5  # one column at most
    assert lit.sum() <= body.sum()


def test_a_lamp_appears_where_it_stands() -> None:
    body, _ = visible_body(lamp("panel", at=(0.1, 0, 0.4), half=(0.03, 0.03)), CAMERA, FAR)
    rows, columns = np.nonzero(body)
    assert rows.mean() == pytest.approx((1 - 0.2 / TAN) / 2 * HEIGHT - 0.5, abs=0.5)
    assert columns.mean() == pytest.approx((1 + 0.1 / (TAN * 0.75)) / 2 * WIDTH - 0.5, abs=0.5)


@pytest.mark.parametrize("kind", ["panel", "disc", "bulb"])
@pytest.mark.parametrize("at", [(0, -1.5, 0.2), (2, 0, 0.2), (0, 0, 1)])
def test_a_lamp_behind_the_camera_or_beside_the_frame_is_not_seen(
    kind: Literal["panel", "disc", "bulb"], at: tuple[float, float, float]
) -> None:
    body, lit = visible_body(lamp(kind, at=at, half=(0.1, 0.1)), CAMERA, FAR)
    assert not body.any()
    assert not lit.any()


def before(distance: float) -> NDArray[np.float32]:
    """Return the depth of a screen that covers the left half of the frame."""
    depth = FAR.copy()
    depth[:, : WIDTH // 2] = distance
    return depth


@pytest.mark.parametrize("kind", ["panel", "disc", "bulb"])
def test_what_stands_nearer_than_a_lamp_hides_it_and_what_stands_farther_does_not(
    kind: Literal["panel", "disc", "bulb"],
) -> None:
    shown = lamp(kind, half=(0.1, 0.1))
    whole, _ = visible_body(shown, CAMERA, FAR)
    hidden, lit = visible_body(shown, CAMERA, before(0.8))
    assert not hidden[:, : WIDTH // 2].any()
    np.testing.assert_array_equal(hidden[:, WIDTH // 2 :], whole[:, WIDTH // 2 :])
    np.testing.assert_array_equal(hidden, lit)
    np.testing.assert_array_equal(visible_body(shown, CAMERA, before(1.3))[0], whole)


def test_a_bulb_is_as_near_as_its_nearest_point() -> None:
    bulb = lamp("bulb", half=(0.1, 0.1))
    middle = HEIGHT // 2, WIDTH // 2
    for distance, seen in ((0.895, False), (0.905, True)):
        body, _ = visible_body(bulb, CAMERA, np.full_like(FAR, distance))
        assert bool(body[middle]) is seen


def test_a_lamp_is_masked_alike_wherever_the_camera_stands() -> None:
    """Turn camera and lamp together about the vertical: the masks stay."""
    a = np.radians(35)
    turn = np.array([[np.cos(a), -np.sin(a), 0], [np.sin(a), np.cos(a), 0], [0, 0, 1]])
    turned = Camera(turn @ AT, turn @ CAMERA.axes, TAN, WIDTH, HEIGHT)
    facing = np.array([0.3, -0.9, -0.3])
    masks = visible_body(lamp("panel", facing=facing), CAMERA, FAR)
    again = visible_body(lamp("panel", at=turn @ [0, 0, 0.2], facing=turn @ facing), turned, FAR)
    for one, other in zip(masks, again, strict=True):
        assert (one != other).sum() <= 2  # rounding at the edge
        assert one.any()


@pytest.mark.parametrize("kind", ["panel", "disc", "bulb"])
def test_no_part_of_a_body_is_missed_wherever_it_stands(
    kind: Literal["panel", "disc", "bulb"], monkeypatch: pytest.MonkeyPatch
) -> None:
    """The pixels that are tried are those that its box projects to: in front, aside, about the lens, behind it."""
    generator = np.random.default_rng(5)
    seen = 0
    for _ in range(60):
        at, facing = AT + generator.uniform(-1, 1, 3) * (0.5, 1, 0.5), generator.standard_normal(3)
        shown = lamp(kind, at, facing, half=(0.2, 0.2) if kind != "panel" else (0.3, 0.1))
        found = visible_body(shown, CAMERA, FAR)
        with monkeypatch.context() as patched:
            patched.setattr(lamp_bodies, "_window_about", lambda *_: WHOLE)
            for one, other in zip(found, visible_body(shown, CAMERA, FAR), strict=True):
                np.testing.assert_array_equal(one, other)
        seen += bool(found[0].any())
    assert 10 < seen < 60
