"""Backdrop, model and camera of a setup as facts and in words."""

from __future__ import annotations

from typing import Any

import numpy as np

from scenes.arrangement.arrangement import CameraModel
from scenes.geometry import round_and_rise
from scenes.lengths import Reading, distance_words, tape_reading
from scenes.setups.placed import PlacedSetup
from scenes.stage.backdrop import Sweep
from scenes.stage.lens import lens_words
from scenes.stage.viewpoint import Viewpoint
from scenes.subject.subject import Subject

from .tape import format_degrees, ground_words, height_words, tilt_words


def backdrop_facts(sweep: Sweep | None, board: str, reading: Reading = tape_reading) -> dict[str, Any] | None:
    """Return sheet, wall, bend and front edge of a backdrop, cm from the centre mark; None without one."""
    if sweep is None:
        return None
    width, length = round(sweep.width_cm, 1), round(sweep.length_cm, 1)
    return {
        "board": board,
        "sheet_cm": [width, length],
        "wall_cm": round(sweep.wall_cm, 1),
        "bend_radius_cm": round(sweep.radius_cm, 1),
        "front_edge_cm": round(sweep.front_cm, 1),
        "words": f"sweep: {board}, {width:.0f} x {length:.0f} cm; "
        f"wall {distance_words(sweep.wall_cm, reading)} behind the centre mark, "
        f"bend radius {distance_words(sweep.radius_cm, reading)}, "
        f"front edge {distance_words(sweep.front_cm, reading)} in front of the mark",
    }


def model_facts(setup: PlacedSetup, reading: Reading = tape_reading) -> dict[str, Any] | None:
    """Return how the model is turned, where it stands on the centre mark, and its hero; None for an empty table."""
    if setup.subject is None:
        return None
    nearest = _nearest_cm(setup.subject)
    return {
        "facing_deg": round(setup.facing_deg, 1),
        "nearest_cm": round(nearest, 1),
        "hero_cm": [round(v, 1) + 0.0 for v in setup.hero_cm],
        "words": f"model: {turn_words(setup.facing_deg)}; the centre mark under the middle of its outline, "
        f"{distance_words(nearest, reading)} behind its point nearest the camera; "
        f"hero {ground_words(setup.hero_cm, reading)}, {height_words(setup.hero_cm[2], reading)}",
    }


def camera_facts(
    camera: CameraModel, view: Viewpoint, hero_cm: tuple[float, float, float], reading: Reading = tape_reading
) -> dict[str, Any]:
    """Return where the lens is, how it is tilted and which it is: cm from the centre mark, positive tilt is up."""
    x, y, z = view.at_cm
    distance, along = float(np.linalg.norm(view.at_cm)), float(np.hypot(x, y))
    lens = lens_words(camera, view, float(np.linalg.norm(np.subtract(hero_cm, view.at_cm))))
    tilt_deg = round_and_rise(np.subtract(view.aim_cm, view.at_cm))[1]
    return {
        "at_cm": [round(v, 1) + 0.0 for v in view.at_cm],
        "distance_cm": round(distance, 1),
        "along_table_cm": round(along, 1),
        "height_cm": round(z, 1),
        "tilt_deg": round(tilt_deg, 1) + 0.0,
        "lens": lens,
        "words": f"camera: {ground_words((x, y), reading)}, lens {height_words(z, reading)}, "
        f"{distance_words(distance, reading)} from lens to mark in a straight line, {tilt_words(tilt_deg)}; {lens}",
    }


def _nearest_cm(subject: Subject) -> float:
    """Return how far in front of the centre mark the subject's point nearest the camera lies, cm."""
    return -float(subject.bounds_cm[0][1])


def turn_words(facing_deg: float) -> str:
    """Return how a model is turned: `faces the camera`, `turned 15 degrees to camera right`."""
    turn = (facing_deg + 180) % 360 - 180
    if not round(turn):
        return "faces the camera"
    if round(abs(turn)) == 180:
        return "faces away from the camera"
    return f"turned {format_degrees(abs(turn))} to camera {'right' if turn > 0 else 'left'}"
