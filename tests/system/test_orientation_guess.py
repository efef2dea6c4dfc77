"""How often the guess of the side that is up is right: on 20 meshes that nobody here made, turned six ways."""

from __future__ import annotations

from dataclasses import replace
from typing import NamedTuple

import numpy as np
import pytest

from scenes.builtin.demo import load_diver
from scenes.builtin.standin import STAND_INS, load_standin
from scenes.subject.axes import AXES, upright
from scenes.subject.from_meshes import subject_from_parts
from scenes.subject.orientation import ranking
from scenes.subject.orientation.ranking import ranked_orientations
from scenes.subject.subject import Subject
from tests.support.arrangements import subject_in
from tests.support.notes import note
from tests.support.third_party import DUCKIETOWN, KIVY3, MENPO3D, MESHIO, MINIWORLD, PYVISTA, Package

pytestmark = pytest.mark.slow
SECTION = "Orientation guess"
DUCKIE = "duckietown-world-1.0.30/src/duckietown_world/data/gd1/meshes"
KIVY = "kivy3-0.0.1.dev0.data/data/share/kivy3-examples"
MENPO = "menpo3d-0.8.6/menpo3d/data"
MESHES: list[tuple[Package, str, str]] = [
    *((DUCKIETOWN, f"{DUCKIE}/{name}.obj", "y")
      for name in ("barrier", "bus", "cone", "duckie", "duckiebot", "house", "tree", "truck")),
    *((MINIWORLD, f"miniworld/meshes/{name}.obj", "y")
      for name in ("medkit", "office_chair", "office_desk", "potion", "tree")),
    (KIVY3, f"{KIVY}/trackball/MQ-27.obj", "y"),
    (KIVY3, f"{KIVY}/textures/orion.obj", "z"),
    (MENPO3D, f"{MENPO}/bunny.obj", "y"),
    (MENPO3D, f"{MENPO}/james.obj", "y"),
    (MESHIO, "meshio-5.3.5/tests/meshes/obj/elephav.obj", "y"),
    (PYVISTA, "pyvista/examples/airplane.ply", "z"),
    (PYVISTA, "pyvista/examples/ant.ply", "y"),
]  # fmt: skip
"""Packages' meshes, and the axis of each file that is up by what is seen in it."""


class Known(NamedTuple):
    """A model that stands as it should, its front unknown; the axis that is up in its file, and the file's format."""

    name: str
    standing: Subject
    up: str
    file_format: str


@pytest.fixture(scope="module")
def strangers(tmp_path_factory: pytest.TempPathFactory) -> list[Known]:
    folder = tmp_path_factory.mktemp("packages")
    found = []
    for package, member, up in MESHES:
        path = package.unpacked(member, folder)
        found.append(Known(f"{package.name} {path.stem}", subject_in(path, height_cm=10, up=up), up, path.suffix[1:]))
    return found


@pytest.fixture(scope="module")
def own() -> list[Known]:
    models = {"demo diver": load_diver(), **{f"stand-in {name}": load_standin(name) for name in STAND_INS}}
    return [Known(name, subject_from_parts(name, parts), "z", "stl") for name, parts in models.items()]


def in_file(known: Known, up: str) -> Subject:
    """Return a model as loaded from a file in which the axis `up` points up, while z is taken for it."""
    turn = upright(up).T.astype(np.float32)
    parts = [
        replace(part, vertices_cm=part.vertices_cm @ turn.T, normals=part.normals @ turn.T)
        for part in known.standing.parts
    ]
    return replace(known.standing, parts=tuple(parts), from_file_axes=np.eye(3))


def wrong(models: list[Known], ways: tuple[str, ...] = ()) -> list[str]:
    """Return what is guessed wrongly, as `name: guess`: as filed, or with files in which each of `ways` is up."""
    found = []
    for known in models:
        for up in ways or (known.up,):
            guess = ranked_orientations(in_file(known, up), known.file_format)[0].up
            if guess != up:
                found.append(f"{known.name}{f' turned {up} up' if ways else ''}: {guess}")
    return found


def share(models: list[Known], mistakes: list[str], ways: int = 1) -> float:
    return 1 - len(mistakes) / (len(models) * ways)


def test_as_filed_at_least_four_of_five_strangers_are_guessed_right(strangers: list[Known]) -> None:
    """With what is usual of formats: y or z."""
    mistakes = wrong(strangers)
    right = share(strangers, mistakes)
    note(SECTION, f"{len(strangers)} strangers as filed: {right:.0%} right; wrong: {'; '.join(mistakes) or 'none'}")
    assert right >= 0.8


def test_as_filed_the_right_side_up_is_among_the_three_that_are_shown(strangers: list[Known]) -> None:
    shown = [
        [way.up for way in ranked_orientations(in_file(known, known.up), known.file_format)[:3]] for known in strangers
    ]
    missing = [known.name for known, ups in zip(strangers, shown, strict=True) if known.up not in ups]
    note(SECTION, f"{len(strangers)} strangers as filed, among the three shown: all but {', '.join(missing) or 'none'}")
    assert len(missing) <= 1


def test_by_shape_alone_more_than_half_of_strangers_turned_six_ways_are_guessed_right(
    strangers: list[Known], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(ranking, "USUAL_UP", {})
    mistakes = wrong(strangers, tuple(AXES))
    right = share(strangers, mistakes, len(AXES))
    names = sorted({mistake.split(" turned")[0] for mistake in mistakes})
    note(
        SECTION,
        f"{len(strangers)} strangers turned six ways, by shape alone: {right:.0%} right; wrong: {', '.join(names)}",
    )
    assert right > 0.5  # by chance a sixth


def test_what_is_usual_of_a_format_does_not_overrule_a_clear_shape(strangers: list[Known]) -> None:
    """Turned six ways: what is usual helps two of them and hinders four, as real files are seldom turned."""
    right = share(strangers, wrong(strangers, tuple(AXES)), len(AXES))
    note(SECTION, f"{len(strangers)} strangers turned six ways, with what is usual of their format: {right:.0%} right")
    assert right > 0.5


def test_the_models_that_come_along_are_right_but_for_what_touches_nothing(own: list[Known]) -> None:
    mistakes = wrong(own)
    note(
        SECTION,
        f"{len(own)} models of our own as filed: {share(own, mistakes):.0%} right; wrong: {'; '.join(mistakes)}",
    )
    assert share(own, mistakes) >= 0.8
