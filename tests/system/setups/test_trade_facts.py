"""What builders know of finishes under light, on a ball and on an engraved plate. Common practice, no source."""

from __future__ import annotations

from dataclasses import replace
from functools import cache

import numpy as np
import pytest
import trimesh
from numpy.typing import NDArray

from render.description.scene import setup_geometry
from render.frame import Frame, take_frame
from render.images.store.store import Store
from render.images.tracing import Tracing
from render.shot import Shot
from render.shot_light import shot_light
from scenes.arrangement.arrangement import Arrangement
from scenes.arrangement.reading import fill_model
from scenes.setups.place_setup import place_setup
from scenes.subject.from_meshes import subject_from_parts
from scenes.subject.subject import Subject
from tests.support.arrangements import resolved

PX = 96
PASSES = 8
PALE, DARK = ({"base": base, "gloss": 27} for base in ("#d8d0c0", "#202428"))
GROOVE_CM, PITCH_CM, SIDE_CM = 0.1, 1.0, 8.0


@pytest.fixture(scope="module")
def tracing(tmp_path_factory: pytest.TempPathFactory) -> Tracing:
    return Tracing(Store(tmp_path_factory.mktemp("cache")))


@cache
def ball() -> Subject:
    mesh = trimesh.creation.icosphere(5, radius=6)
    return subject_from_parts("ball", [("ball", mesh.vertices, mesh.faces)])


@cache
def plate(washed: bool) -> Subject:
    """Return an upright plate with upright V grooves; with a wash its recesses are known by their depth."""
    x, y = [0.0], [0.0]
    while x[-1] < SIDE_CM:
        start = x[-1] + PITCH_CM - GROOVE_CM
        x += [start, start + GROOVE_CM / 2, start + GROOVE_CM]
        y += [0.0, GROOVE_CM / 2, 0.0]
    vertices = np.array([[across, deep, up] for across, deep in zip(x, y, strict=True) for up in (0.0, SIDE_CM)])
    faces = np.array([[[2 * i, 2 * i + 2, 2 * i + 3], [2 * i, 2 * i + 3, 2 * i + 1]] for i in range(len(x) - 1)])
    made = subject_from_parts("plate", [("plate", vertices, faces.reshape(-1, 3))])
    (part,) = made.parts
    depth = np.interp(part.vertices_cm[part.faces][..., 1], [-GROOVE_CM / 4, GROOVE_CM / 4], [0.0, 1.0])
    return replace(made, parts=(replace(part, recess=depth.astype(np.float32) if washed else None),))


def frame(tracing: Tracing, subject: Subject, setup: str, **declared: object) -> Frame:
    return take_frame(shot(subject, setup, **declared), tracing, PASSES)


def shot(subject: Subject, setup: str, **declared: object) -> Shot:
    keys = {"mesh": "x", "parts": [PALE], **declared}
    arrangement = resolved(fill_model({"subject": keys}, Arrangement, "test"), subject)
    placed = place_setup(setup, arrangement, 1.0)
    geometry = setup_geometry(placed, arrangement.finishes, PX, PX)
    return Shot(placed, "x", geometry, arrangement.declared.camera, arrangement.room)


def luminance(tracing: Tracing, subject: Subject, setup: str, **declared: object) -> NDArray[np.float32]:
    """Return the luminance of the subject's pixels, cd/m2."""
    lit = shot_light(shot(subject, setup, **declared), tracing, PASSES)
    return np.asarray(lit.xyz[..., 1][lit.subject_mask])


@pytest.mark.slow
def test_gloss_glares_under_broad_light_more_than_matt(tracing: Tracing) -> None:
    matt, gloss = (frame(tracing, ball(), "broad", parts=[DARK], topcoat=coat).readings for coat in ("matt", "gloss"))
    assert gloss.shine_lightness is not None
    assert matt.shine_lightness is not None
    assert gloss.shine_lightness > 2 * matt.shine_lightness


@pytest.mark.slow
def test_a_matt_coat_lowers_the_peak_by_stops_while_the_mean_of_a_pale_colour_hardly_moves(tracing: Tracing) -> None:
    """On a dark colour, that is: on a pale one even a lamp's mirror image is little over the body."""
    matt, gloss = (luminance(tracing, ball(), "rembrandt", parts=[DARK], topcoat=coat) for coat in ("matt", "gloss"))
    assert np.log2(np.percentile(gloss, 99.9) / np.percentile(matt, 99.9)) > 1.0
    matt, gloss = (luminance(tracing, ball(), "rembrandt", topcoat=coat) for coat in ("matt", "gloss"))
    assert abs(np.log2(gloss.mean() / matt.mean())) < 0.15


def contrast(tracing: Tracing, setup: str, washed: bool) -> float:
    declared = {"wash": {"strength": 0.9, "width_mm": 1.0}} if washed else {}
    reading = frame(tracing, plate(washed), setup, topcoat="matt", **declared).readings.texture_contrast_stops
    assert reading is not None
    return reading


@pytest.mark.slow
def test_a_wash_stands_out_under_flat_light_and_engraved_lines_without_one_under_raking_light(
    tracing: Tracing,
) -> None:
    flat, flat_washed, raking = (
        contrast(tracing, setup, washed)
        for setup, washed in (("clamshell", False), ("clamshell", True), ("raking", False))
    )
    assert flat_washed > 1.5 * flat
    assert raking > 1.5 * flat
