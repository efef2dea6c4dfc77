"""Relative placements as places in cm: clear of the model, above the table, before the wall, out of the frame."""

from __future__ import annotations

import itertools
from collections.abc import Iterator

import numpy as np

from materials.arrays import Vector
from scenes.arrangement.placed_card import PlacedCard
from scenes.geometry import direction_round, distance_to_board, round_and_rise, unit
from scenes.stage.backdrop import Sweep

from .place import FRAME_MARGIN, Place, Stage, in_frame, is_hidden
from .setup import RelativePlacement, SetupCard

TABLE_GAP_CM = 0.5
WALL_GAP_CM = 1.0
MOST_STEPS = 200  # to clear the subject; to leave the frame too, lamps and cards take fewer than a hundred
HIGH_BEHIND = {"rise_deg": 35.0, "distance": 1.6, "tilt_deg": 0.0, "out_of_frame": "raise"}
"""Of a lamp that the subject is too small to hide."""
HIDING_DEG = 40.0  # a hiding place may lie this far from the placement asked for


def place_board(placement: RelativePlacement, size_cm: tuple[float, float], stage: Stage) -> Place:
    """Return the place of a lamp or card of that width and height: as asked for, then moved until out of the frame."""
    if placement.out_of_frame == "below":
        return _place_below_frame(size_cm, stage)
    if placement.out_of_frame == "hide":
        hidden = _place_behind_subject(placement, size_cm, stage)
        if hidden is not None:
            return hidden
        placement = placement.model_copy(update=HIGH_BEHIND)
    place, steps = _cleared(placement, size_cm, stage)
    for moved in _moved_placements(placement):
        if steps > MOST_STEPS or not in_frame(place, size_cm, stage.view):
            break
        place, more = _cleared(moved, size_cm, stage)
        steps += more
    return place


def place_card(card: SetupCard, stage: Stage) -> PlacedCard:
    """Return a card of a setup at its place, in cm."""
    size = (card.size[0] * stage.subject.size_cm, card.size[1] * stage.subject.size_cm)
    place = place_board(card, size, stage)
    x, y, z = (float(v) for v in place.facing)
    return PlacedCard.model_construct(  # the limits of declared cards do not apply
        name=card.role, size_cm=size, reflectance=card.reflectance, at_cm=place.at_cm, facing=(x, y, z)
    )


def deviation_deg(placement: RelativePlacement, place: Place, stage: Stage) -> float:
    """Return the angle in degrees, at its aim, between a place and the placement asked for.

    Backdrop, frame or model may have moved it. Of what hides behind the subject, what is beyond `HIDING_DEG` counts.
    """
    if placement.out_of_frame == "below":
        return 0.0
    aim = stage.aim(placement.aim)
    base = 0.0 if placement.from_camera else stage.base_deg
    asked, actual = direction_round(base + placement.round_deg, placement.rise_deg), np.subtract(place.at_cm, aim)
    cosine = float(asked @ actual) / max(float(np.linalg.norm(actual)), 1e-9)
    off = float(np.degrees(np.arccos(np.clip(cosine, -1.0, 1.0))))
    return max(0.0, off - HIDING_DEG) if placement.out_of_frame == "hide" else off


def _moved_placements(placement: RelativePlacement) -> Iterator[RelativePlacement]:
    """Yield the placement in steps towards leaving the frame: higher, then farther."""
    if placement.out_of_frame == "raise":
        for rise in np.arange(placement.rise_deg + 2, 86, 2):
            placement = placement.model_copy(update={"rise_deg": float(rise)})
            yield placement
    if placement.out_of_frame in {"raise", "retreat"}:  # where raising is not enough, it retreats
        for farther in np.linspace(1.04, 3.0, 50):
            yield placement.model_copy(update={"distance": placement.distance * float(farther)})


def _cleared(placement: RelativePlacement, size_cm: tuple[float, float], stage: Stage) -> tuple[Place, int]:
    """Return the place that is asked for, moved outward until it clears subject, table and wall, and the steps it took.

    A board that the table stops under the subject never clears it.
    """
    aim = stage.aim(placement.aim)
    base = 0.0 if placement.from_camera else stage.base_deg
    outward = direction_round(base + placement.round_deg, placement.rise_deg)
    distance = placement.distance * stage.subject.size_cm
    steps = 0
    while True:
        steps += 1
        at = aim + outward * distance
        place = _clear_of_sweep(_rounded_place(at, _tilted(at, aim, placement.tilt_deg)), size_cm, stage.sweep)
        clear = float(distance_to_board(stage.points, place.at_cm, place.facing, size_cm).min())
        if clear >= placement.clearance_cm or steps == MOST_STEPS:
            return place, steps
        distance += max(0.02 * stage.subject.size_cm, placement.clearance_cm - clear)


def _tilted(at: Vector, aim: Vector, tilt_deg: float) -> Vector:
    """Return the aim (3,) raised by `tilt_deg` as seen from `at`, at the same distance."""
    round_deg, rise_deg = round_and_rise(aim - at)
    higher = direction_round(round_deg, float(np.clip(rise_deg + tilt_deg, -90.0, 90.0)))
    return np.asarray(at + higher * np.linalg.norm(aim - at))


def _clear_of_sweep(place: Place, size_cm: tuple[float, float], sweep: Sweep | None) -> Place:
    """Return the place lifted above the table and moved in front of the wall."""
    for _ in range(4):  # lifting it tilts it, which moves its lowest corner
        edge = place.corners(size_cm)
        at = np.asarray(place.at_cm)
        at[2] += max(0.0, TABLE_GAP_CM - edge[:, 2].min())
        if sweep is not None and edge[:, 2].min() < sweep.height_cm:
            at[1] -= max(0.0, edge[:, 1].max() - sweep.wall_cm + WALL_GAP_CM)
        moved = _rounded_place(at, np.asarray(place.aim_cm))
        if moved == place:
            break
        place = moved
    return place


def _place_below_frame(size_cm: tuple[float, float], stage: Stage) -> Place:
    """Return the nearest place of a board that leans just below the frame.

    Its far edge rests on the table where the frame's lower edge meets it; from there it follows that edge upwards.
    """
    view = stage.view
    ray = view.rays(np.array([0.0]), np.array([-FRAME_MARGIN - 0.02]))[0]
    up = max(-float(ray[2]), 0.05)
    lean = unit(np.array([0.0, -float(ray[1]), up]))
    foot = np.asarray(view.at_cm) - lean * (view.at_cm[2] - TABLE_GAP_CM) / up
    foot[1] = min(foot[1], float(stage.subject.bounds_cm[0][1]) - TABLE_GAP_CM)
    at = foot + lean * size_cm[1] / 2
    return _rounded_place(at, at + stage.subject.size_cm * np.cross([1.0, 0.0, 0.0], -lean))


def _place_behind_subject(placement: RelativePlacement, size_cm: tuple[float, float], stage: Stage) -> Place | None:
    """Return the nearest place to the one asked for at which the subject occludes a lamp, or None."""
    if min(size_cm) > stage.subject.size_cm:
        return None  # a smaller subject cannot occlude it, and the search is long
    tried = itertools.product(np.arange(-50.0, 21.0, 5.0), np.arange(0.35, 1.25, 0.1), (-6.0, 0.0, 6.0))

    def cost(moved: tuple[float, float, float]) -> float:
        rise, distance, side = moved
        return abs(rise - placement.rise_deg) / 40 + abs(distance - placement.distance) + abs(side) / 30

    for rise, distance, side in sorted(tried, key=cost):
        round_deg = (placement.round_deg - side + 180) % 360 - 180
        moved = {"rise_deg": float(rise), "distance": float(distance), "round_deg": round_deg}
        place, _ = _cleared(placement.model_copy(update=moved), size_cm, stage)
        if is_hidden(place, size_cm, stage):
            return place
    return None


def _rounded_place(at: Vector, aim: Vector) -> Place:
    at, aim = np.round(at, 1), np.round(aim, 1)  # to a millimetre, as a tape measure reads
    if (at == aim).all():
        aim = aim + np.array([0.0, 0.0, 1.0])  # pushed on to its own aim, beside a model smaller than itself
    (ax, ay, az), (bx, by, bz) = at + 0.0, aim + 0.0  # no minus zero
    return Place((float(ax), float(ay), float(az)), (float(bx), float(by), float(bz)))
