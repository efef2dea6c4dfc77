"""From 'round and rise' to a place in cm: clear of the model, above the table, before the wall, out of the frame."""

from __future__ import annotations

import itertools
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray
from scipy.ndimage import binary_closing

from materials.arrays import Vector
from scenes.arrangement.card_model import CardModel
from scenes.geometry import corners, direction_round, distance_to_board, round_and_rise, unit
from scenes.stage.backdrop import Sweep
from scenes.stage.viewpoint import Viewpoint
from scenes.subject.subject import Subject

from .setup import SetupCard, Standing

FRAME_MARGIN = 1.04  # a lamp leaves the frame by this much of its half size
TABLE_GAP_CM = 0.5
WALL_GAP_CM = 1.0
HIDING_DEG = 40.0  # a hiding place is looked for this far off
SILHOUETTE_CELLS = 96


@dataclass(frozen=True)
class Place:
    """Where something stands and where it points, cm."""

    at_cm: tuple[float, float, float]
    aim_cm: tuple[float, float, float]

    @property
    def facing(self) -> Vector:
        """The unit vector from place to aim."""
        return unit(np.subtract(self.aim_cm, self.at_cm))

    def corners(self, size_cm: tuple[float, float]) -> Vector:
        """Return the (4, 3) corners of a board of that size standing here."""
        return corners(self.at_cm, self.facing, size_cm)


@dataclass(frozen=True)
class Stage:
    """What a setup is put up round."""

    subject: Subject
    view: Viewpoint
    sweep: Sweep | None
    face_deg: float
    hero_cm: tuple[float, float, float]

    def aim(self, at: str) -> Vector:
        """Return the point in cm that a setup's aim means."""
        low, high = np.asarray(self.subject.bounds_cm, dtype=float)
        match at:
            case "hero":
                return np.asarray(self.hero_cm)
            case "middle":
                return np.asarray((low + high) / 2)
            case "base":
                return np.array([0.0, 0.0, low[2]])
            case _:
                return self._wall()

    def _wall(self) -> Vector:
        away = self.sweep.wall_cm if self.sweep else 2.5 * self.subject.size_cm
        at, forward = np.asarray(self.view.at_cm), self.view.axes[:, 2]
        point: Vector = at + forward * (away - at[1]) / forward[1]
        point[2] = max(point[2], 0.35 * self.subject.size_cm)
        return point

    @cached_property
    def points(self) -> Vector:
        """Points spread over the subject, to keep clear of."""
        return self.subject.surface_points(1500).astype(float)

    @cached_property
    def silhouette(self) -> NDArray[np.bool_]:
        """Return the subject's outline on a coarse grid over the frame, row 0 at the bottom."""
        seen = self.view.project(self.subject.surface_points(20000))[:, :2]
        cells = np.clip(((seen + 1) / 2 * SILHOUETTE_CELLS).astype(int), 0, SILHOUETTE_CELLS - 1)
        grid = np.zeros((SILHOUETTE_CELLS, SILHOUETTE_CELLS), bool)
        grid[cells[:, 1], cells[:, 0]] = True
        closed: NDArray[np.bool_] = binary_closing(grid)
        return closed


def stand(spec: Standing, size_cm: tuple[float, float], stage: Stage) -> Place:
    """Return where a setup's lamp or card stands: as asked for, then moved until the frame does not see it."""
    if spec.out_of_frame == "below":
        return _below_frame(size_cm, stage)
    if spec.out_of_frame == "hide":
        hidden = _behind_subject(spec, size_cm, stage)
        if hidden is not None:
            return hidden
        spec = spec.model_copy(update={"rise_deg": 35.0, "distance": 1.6, "tilt_deg": 0.0, "out_of_frame": "raise"})
    place = _clear(spec, size_cm, stage)
    for moved in _moves(spec):
        if not in_frame(place, size_cm, stage.view):
            break
        place = _clear(moved, size_cm, stage)
    return place


def put_card(card: SetupCard, stage: Stage) -> CardModel:
    """Return a setup's card, in cm."""
    size = (card.size[0] * stage.subject.size_cm, card.size[1] * stage.subject.size_cm)
    place = stand(card, size, stage)
    x, y, z = (float(v) for v in place.facing)
    return CardModel.model_construct(  # what follows from a declaration is not held to the limits of one
        name=card.role, size_cm=size, reflectance=card.reflectance, at_cm=place.at_cm, facing=(x, y, z)
    )


def in_frame(place: Place, size_cm: tuple[float, float], view: Viewpoint) -> bool:
    """Return whether any of a board is inside the frame, hidden or not."""
    x, y, depth = view.project(_grid(place, size_cm)).T
    inside: NDArray[np.bool_] = (np.abs(x) < FRAME_MARGIN) & (np.abs(y) < FRAME_MARGIN) & (depth > 0)
    return bool(inside.any())


def _grid(place: Place, size_cm: tuple[float, float]) -> Vector:
    """Return (81, 3) points spread over a board."""
    a, b, _, d = place.corners(size_cm)
    u, v = np.meshgrid(np.linspace(0, 1, 9), np.linspace(0, 1, 9))
    return np.asarray(a + u.reshape(-1, 1) * (b - a) + v.reshape(-1, 1) * (d - a))


def _moves(spec: Standing) -> Iterator[Standing]:
    """Yield the same standing moved step by step the way it leaves the frame."""
    if spec.out_of_frame == "raise":
        for rise in np.arange(spec.rise_deg + 2, 86, 2):
            spec = spec.model_copy(update={"rise_deg": float(rise)})
            yield spec
    if spec.out_of_frame in {"raise", "retreat"}:  # what is not high enough at its distance goes farther
        for farther in np.linspace(1.04, 3.0, 50):
            yield spec.model_copy(update={"distance": spec.distance * float(farther)})


def _below_frame(size_cm: tuple[float, float], stage: Stage) -> Place:
    """Return the place of a board that leans along the lower edge of the frame, as near as it is not seen.

    Its far edge rests on the table where the frame's lower edge meets it; its near edge rises with that edge.
    """
    view = stage.view
    ray = view.rays(np.array([0.0]), np.array([-FRAME_MARGIN - 0.02]))[0]
    up = max(-float(ray[2]), 0.05)
    lean = unit(np.array([0.0, -float(ray[1]), up]))
    foot = np.asarray(view.at_cm) - lean * (view.at_cm[2] - TABLE_GAP_CM) / up
    foot[1] = min(foot[1], float(stage.subject.bounds_cm[0][1]) - TABLE_GAP_CM)
    at = foot + lean * size_cm[1] / 2
    return _place(at, at + stage.subject.size_cm * np.cross([1.0, 0.0, 0.0], -lean))


def _clear(spec: Standing, size_cm: tuple[float, float], stage: Stage) -> Place:
    """Return the place that `spec` asks for, moved out until it is clear of the subject, table and wall."""
    aim = stage.aim(spec.aim)
    base = 0.0 if spec.from_camera else stage.face_deg
    outward = direction_round(base + spec.round_deg, spec.rise_deg)
    distance = spec.distance * stage.subject.size_cm
    for _ in range(200):
        at = aim + outward * distance
        place = _off_the_sheet(_place(at, _tilted(at, aim, spec.tilt_deg)), size_cm, stage.sweep)
        clear = float(distance_to_board(stage.points, place.at_cm, place.facing, size_cm).min())
        if clear >= spec.clearance_cm:
            break
        distance += max(0.02 * stage.subject.size_cm, spec.clearance_cm - clear)
    return place


def _tilted(at: Vector, aim: Vector, tilt_deg: float) -> Vector:
    """Return a point as far as `aim` in the direction that is `tilt_deg` higher."""
    round_deg, rise_deg = round_and_rise(aim - at)
    higher = direction_round(round_deg, float(np.clip(rise_deg + tilt_deg, -90.0, 90.0)))
    return np.asarray(at + higher * np.linalg.norm(aim - at))


def _off_the_sheet(place: Place, size_cm: tuple[float, float], sweep: Sweep | None) -> Place:
    """Return the place lifted off the table and drawn before the wall."""
    for _ in range(4):  # lifting it tilts it, which moves its lowest corner
        edge = place.corners(size_cm)
        at = np.asarray(place.at_cm)
        at[2] += max(0.0, TABLE_GAP_CM - edge[:, 2].min())
        if sweep is not None and edge[:, 2].min() < sweep.height_cm:
            at[1] -= max(0.0, edge[:, 1].max() - sweep.wall_cm + WALL_GAP_CM)
        place = _place(at, np.asarray(place.aim_cm))
    return place


def off_deg(spec: Standing, place: Place, stage: Stage) -> float:
    """Return by what angle something stands off where the setup wants it, degrees: room, frame or model pushed it."""
    if spec.out_of_frame == "below":
        return 0.0
    aim = stage.aim(spec.aim)
    base = 0.0 if spec.from_camera else stage.face_deg
    wanted, stands = direction_round(base + spec.round_deg, spec.rise_deg), np.subtract(place.at_cm, aim)
    cosine = float(wanted @ stands) / max(float(np.linalg.norm(stands)), 1e-9)
    off = float(np.degrees(np.arccos(np.clip(cosine, -1.0, 1.0))))
    return max(0.0, off - HIDING_DEG) if spec.out_of_frame == "hide" else off


def _place(at: Vector, aim: Vector) -> Place:
    at, aim = np.round(at, 1), np.round(aim, 1)  # what a tape measure can tell
    if (at == aim).all():
        aim = aim + np.array([0.0, 0.0, 1.0])  # pushed on to its own aim, beside a model smaller than itself
    (ax, ay, az), (bx, by, bz) = at + 0.0, aim + 0.0  # no minus zero
    return Place((float(ax), float(ay), float(az)), (float(bx), float(by), float(bz)))


def _behind_subject(spec: Standing, size_cm: tuple[float, float], stage: Stage) -> Place | None:
    """Return the place nearest to the one asked for where the subject hides the lamp from the camera, or None."""
    if min(size_cm) > stage.subject.size_cm:
        return None  # what is smaller hides nothing, and there are many places to try
    tried = itertools.product(np.arange(-50.0, 21.0, 5.0), np.arange(0.35, 1.25, 0.1), (-6.0, 0.0, 6.0))

    def cost(moved: tuple[float, float, float]) -> float:
        rise, distance, side = moved
        return abs(rise - spec.rise_deg) / 40 + abs(distance - spec.distance) + abs(side) / 30

    for rise, distance, side in sorted(tried, key=cost):
        round_deg = (spec.round_deg - side + 180) % 360 - 180
        moved = {"rise_deg": float(rise), "distance": float(distance), "round_deg": round_deg}
        place = _clear(spec.model_copy(update=moved), size_cm, stage)
        if is_hidden(place, size_cm, stage):
            return place
    return None


def is_hidden(place: Place, size_cm: tuple[float, float], stage: Stage) -> bool:
    """Return whether all of a board lies within the subject's outline in the frame, as what hides behind it does."""
    seen = stage.view.project(_grid(place, size_cm))[:, :2]
    if not np.isfinite(seen).all():
        return False  # part of it is behind the camera
    cells = ((seen + 1) / 2 * SILHOUETTE_CELLS).astype(int)
    if (cells < 0).any() or (cells >= SILHOUETTE_CELLS).any():
        return False
    return bool(stage.silhouette[cells[:, 1], cells[:, 0]].all())
