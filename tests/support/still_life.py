"""A lump and a box on a sheet, and the lamps that light them: small, and with all that the kernel has to get right."""

from __future__ import annotations

from typing import Final, Literal

import numpy as np
import trimesh

from materials.arrays import Array
from materials.colour.sigmoid_reflectance import sigmoid_reflectance
from materials.colour.srgb import srgb_decode
from materials.surface.finish import Finish
from render.description.scene import Camera, Geometry, Surface
from scenes.geometry import axes_facing
from scenes.lamps.emitter_shape import ROOM
from scenes.stage.backdrop import Sweep
from tests.support.light import board, bulb, disc, meter, panel

HEIGHT_PX, WIDTH_PX = 96, 128
COPPER, TEAL, SAND = (
    sigmoid_reflectance(srgb_decode(np.array(colour) / 255))
    for colour in ((0xC8, 0x82, 0x5A), (0x2F, 0x8F, 0x8A), (0xCB, 0xBF, 0x9F))
)
FINISHES: Final = {
    "matt": Finish.board(TEAL),
    "satin plastic": Finish.plastic(TEAL, 27),
    "near-smooth plastic": Finish.plastic(TEAL, 88),
    "rough metal": Finish.metal(COPPER, 0.3),
    "near-smooth metal": Finish.metal(COPPER, 0.01),
}
LAMPS: Final = {
    "panel": panel((-0.16, -0.18, 0.24), (0.16, 0.18, -0.20), 0.24, 0.18),
    "disc": disc((0.22, -0.10, 0.16), (-0.22, 0.10, -0.12), 0.10),
    "bulb": bulb((0.12, -0.02, 0.25), 0.07),
    "room": ROOM,
}
OVERHEAD: Final = panel((0.0, 0.0, 0.28), (0.0, 0.0, -1.0), 0.16, 0.16)
BEHIND: Final = panel((0.05, 0.08, 0.19), (-0.05, -0.08, -0.15), 0.16, 0.10)
IN_FRAME: Final = panel((0.06, 0.05, 0.08), (-0.075, -0.20, -0.02), 0.10, 0.08)
BACK_IN_FRAME: Final = panel((0.06, 0.05, 0.08), (0.0, 1.0, 0.1), 0.10, 0.08)

_EYE, _AIM = np.array([0.05, -0.42, 0.18]), np.array([0.0, 0.0, 0.045])


def still_life(
    finish: Finish,
    *more: Surface,
    height_px: int = HEIGHT_PX,
    width_px: int = WIDTH_PX,
    under: Literal["card", "backdrop"] = "card",
) -> Geometry:
    """Return a smooth lump and a flat-faced box of one finish on a sheet, with `more`, before a camera.

    As a card the sheet takes as many samples as the rest; where there is only backdrop the kernel takes fewer.
    """
    camera = Camera(_EYE, _looking(_AIM - _EYE), 0.21, width_px, height_px)
    return Geometry((lump(finish), box(finish), sheet(under), *more), camera)


def lump(finish: Finish) -> Surface:
    """Return a ball pressed out of shape, 8 cm tall, its normals smooth over faces that are few."""
    ball = trimesh.creation.icosphere(subdivisions=3, radius=1.0)
    x, y, z = ball.vertices.T
    radius = 0.036 * (1 + 0.18 * np.sin(3 * x + 1) * np.cos(2.5 * y) + 0.12 * np.sin(4 * z))
    ball.vertices = ball.vertices * radius[:, None] + [-0.02, 0.0, 0.042]
    return Surface(
        "lump", "subject", ball.vertices.astype(np.float32),
        np.array(ball.vertex_normals, np.float32), ball.faces.astype(np.int32), finish,
    )  # fmt: skip


def box(finish: Finish) -> Surface:
    """Return a box of 3.2 x 3.2 x 5 cm, turned, its faces flat."""
    turned = trimesh.transformations.rotation_matrix(0.5, [0, 0, 1], [0, 0, 0])
    turned[:3, 3] = [0.048, -0.015, 0.0255]
    solid = trimesh.creation.box(extents=(0.032, 0.032, 0.05), transform=turned)
    return Surface("box", "subject", solid.vertices.astype(np.float32), None, solid.faces.astype(np.int32), finish)


def sheet(kind: Literal["card", "backdrop"]) -> Surface:
    """Return the sheet under them, which rises behind them; the camera sees past its sides."""
    vertices, normals, faces = Sweep(36.0, 26.0, 16.0, 7.0, 30.0).mesh()
    return Surface("sweep", kind, vertices / np.float32(100), normals, faces, Finish.board(SAND))


def card_box() -> tuple[Surface, ...]:
    """Return white cards left, right, above and before them, but for a gap that the camera looks through."""
    white = Finish.board(0.9)
    return (
        board(meter((-0.13, -0.05, 0.11), (1, 0, 0), 0.30, 0.22), white),
        board(meter((0.13, -0.05, 0.11), (-1, 0, 0), 0.30, 0.22), white),
        board(meter((0, -0.05, 0.22), (0, 0, -1), 0.26, 0.30), white),
        board(meter((0, -0.20, 0.025), (0, 1, 0), 0.26, 0.05), white),
        board(meter((0, -0.20, 0.20), (0, 1, 0), 0.26, 0.04), white),
    )


def _looking(direction: Array) -> Array:
    """Return camera axes as columns: right, up, into the picture."""
    left, up, into = axes_facing(direction).T
    return np.column_stack([-left, up, into])
