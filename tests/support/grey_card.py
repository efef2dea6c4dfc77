"""A square card in place of the model of a placed setup, facing its key, seen by a camera that sees its lit face."""

from __future__ import annotations

from dataclasses import dataclass, replace
from itertools import product
from typing import Final

import numpy as np
import trimesh

from gallery.files.pictures import Picture
from materials.arrays import Array, Mask
from scenes.setups.placed import PlacedLamp, PlacedSetup
from scenes.stage.viewpoint import Viewpoint
from scenes.subject.subject import Part, Subject

from .placements.bodies import card_body, lamp_body
from .placements.camera import camera_axes
from .placements.rays import are_crossed
from .placements.sheet import sheet_triangles

SIDE_CM: Final = 1.0
"""Small: what it shadows of the sheet is light that a meter has and the card has not."""
THICK_CM: Final = 0.05
INSIDE: Final = 0.7
"""Of the card's side, that is measured."""
AWAY_CM: Final = 60.0
TAN_HALF: Final = 0.014
"""Of the camera's field: the card fills some 60 % of it."""


@dataclass(frozen=True)
class GreyCard:
    """A card at a point (3,), its face along `axes` (3, 3): width, height, normal; cm."""

    at: Array
    axes: Array

    @property
    def mesh(self) -> trimesh.Trimesh:
        """Its box, the face in the point."""
        box = trimesh.creation.box((SIDE_CM, SIDE_CM, THICK_CM))
        turn = np.eye(4)
        turn[:3, :3], turn[:3, 3] = self.axes, self.at - self.axes[:, 2] * THICK_CM / 2
        return box.apply_transform(turn)

    @property
    def subject(self) -> Subject:
        """It as what is lit."""
        mesh = self.mesh
        corners = np.asarray(mesh.triangles, np.float32).reshape(-1, 3)
        normals = np.repeat(mesh.face_normals, 3, axis=0).astype(np.float32)
        return Subject(
            "card", (Part("card", corners, normals, np.arange(len(corners), dtype=np.int32).reshape(-1, 3)),)
        )

    def inside(self, view: Viewpoint, size: tuple[int, int]) -> Mask:
        """Return which pixels (height, width) of a picture see the inside of its face at their centre."""
        width, height = size
        right, up, forward = camera_axes(view)
        x = ((np.arange(width) + 0.5) / width * 2 - 1) * view.tan_half_height * view.aspect
        y = (1 - (np.arange(height) + 0.5) / height * 2) * view.tan_half_height
        rays = forward + x[None, :, None] * right + y[:, None, None] * up
        start = (np.asarray(view.at_cm) - self.at) @ self.axes
        along = rays @ self.axes
        at = start[:2] - along[..., :2] * (start[2] / along[..., 2:])
        return np.asarray((np.abs(at) < INSIDE * SIDE_CM / 2).all(axis=-1))


def card_facing(at: Array, towards: Array) -> GreyCard:
    """Return a card at a point, squarely facing another."""
    normal = (towards - at) / np.linalg.norm(towards - at)
    across = np.cross([0.0, 1.0, 0.0] if abs(normal[2]) > 0.9 else [0.0, 0.0, 1.0], normal)
    across /= np.linalg.norm(across)
    return GreyCard(at, np.column_stack([across, np.cross(normal, across), normal]))


def metered_from(placed: PlacedSetup) -> Array:
    """Return the point (3,) that a setup's meter faces: its key, else the lamp that gives most, or the camera."""
    if placed.meter == "card":
        return np.asarray(placed.view.at_cm, float)
    keys = [lamp for lamp in placed.lamps if lamp.role == "key"]
    hero = np.asarray(placed.hero_cm)
    key = keys[0] if keys else max(placed.lamps, key=lambda lamp: _lux(lamp, hero))
    return np.asarray(key.place.at_cm, float)


def with_card(placed: PlacedSetup) -> tuple[PlacedSetup, GreyCard]:
    """Return a setup with a card in place of its model, facing what meters it, and a camera that sees its face."""
    hero = np.asarray(placed.hero_cm, float)
    card = card_facing(hero, metered_from(placed))
    return replace(placed, subject=card.subject, view=_view_of(card, placed)), card


def median_level(rgb: Picture, inside: Mask) -> float:
    """Return the median luminance, 1 at white, of the pixels of an 8-bit sRGB picture (IEC 61966-2-1)."""
    coded = rgb[inside] / 255.0
    linear = np.where(coded <= 0.04045, coded / 12.92, ((coded + 0.055) / 1.055) ** 2.4)
    return float(np.median(linear @ [0.2126, 0.7152, 0.0722]))


def _lux(lamp: PlacedLamp, hero: Array) -> float:
    """Return about what a lamp gives on a receptor facing it."""
    share = 1 / (4 * np.pi) if lamp.lamp.model.kind == "bulb" else 1 / np.pi
    return float(lamp.lamp.lumens * lamp.dimmer * share / ((np.asarray(lamp.place.at_cm) - hero) ** 2).sum())


def _view_of(card: GreyCard, placed: PlacedSetup) -> Viewpoint:
    """Return a camera that sees the card's face, nearest to straight on: no lamp or card stands between."""
    if placed.meter == "card":
        return Viewpoint(placed.view.at_cm, tuple(card.at.tolist()), TAN_HALF, 1.0)
    bodies = [lamp_body(lamp) for lamp in placed.lamps] + [card_body(other) for other in placed.cards]
    sheet = [sheet_triangles(placed.sweep)] if placed.sweep is not None else []
    triangles = np.concatenate([body.triangles for body in bodies] + sheet)
    corners = np.asarray(card.mesh.vertices)
    for slant, turn in product(np.radians(np.arange(25, 66, 10)), np.radians(np.arange(0, 360, 30))):
        local = np.array([np.sin(slant) * np.cos(turn), np.sin(slant) * np.sin(turn), np.cos(slant)])
        at = card.at + AWAY_CM * card.axes @ local
        if at[2] > 5.0 and not are_crossed(corners, at[None], triangles).any():
            return Viewpoint(tuple(at.tolist()), tuple(card.at.tolist()), TAN_HALF, 1.0)
    raise AssertionError(f"no camera sees the card in {placed.name}")
