"""Recesses are computed once for a mesh and a width; the kernel is replaced by a stub."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from numpy.typing import NDArray

from render.description.scene import Surface
from render.images.store.store import Store
from render.kernel import ambient_occlusion
from render.recesses import with_recesses
from scenes.subject.from_meshes import subject_from_parts
from scenes.subject.subject import Subject
from tests.unit.scenes.setups.test_setup import FIGURE

WIDTH_MM = 20.0


@pytest.fixture
def measured(monkeypatch: pytest.MonkeyPatch) -> list[float]:
    """Return the list of what is measured, by its reach in m."""
    reaches: list[float] = []

    def vertex_occlusion(surfaces: Sequence[Surface], reach_m: float) -> list[NDArray[np.float32]]:
        reaches.append(reach_m)
        return [np.linspace(0, 1, len(s.vertices), dtype=np.float32) for s in surfaces]

    monkeypatch.setattr(ambient_occlusion, "vertex_occlusion", vertex_occlusion)
    return reaches


@pytest.fixture
def store(tmp_path: Path) -> Store:
    return Store(tmp_path)


def figure() -> Subject:
    return subject_from_parts("figure", FIGURE)


def test_what_was_measured_is_not_measured_again_and_is_the_same(store: Store, measured: list[float]) -> None:
    once = with_recesses(figure(), WIDTH_MM, store)
    again = with_recesses(figure(), WIDTH_MM, Store(store.folder))
    assert len(measured) == 1
    assert len(once.parts) == len(again.parts) > 1
    for before, after in zip(once.parts, again.parts, strict=True):
        assert before.recess is not None
        assert after.recess is not None
        assert before.recess.any()
        np.testing.assert_array_equal(before.recess, after.recess)


def test_colours_and_names_of_parts_leave_recesses_as_they_are(store: Store, measured: list[float]) -> None:
    with_recesses(figure(), WIDTH_MM, store)
    with_recesses(replace(figure(), parts=tuple(replace(p, name="x") for p in figure().parts)), WIDTH_MM, store)
    assert len(measured) == 1


def test_another_width_another_mesh_and_another_part_beside_it_are_measured(
    store: Store, measured: list[float]
) -> None:
    whole = figure()
    moved = replace(whole.parts[0], vertices_cm=whole.parts[0].vertices_cm + np.float32(0.1))
    with_recesses(whole, WIDTH_MM, store)
    with_recesses(whole, 2 * WIDTH_MM, store)
    with_recesses(replace(whole, parts=(moved, *whole.parts[1:])), WIDTH_MM, store)
    with_recesses(replace(whole, parts=whole.parts[:1]), WIDTH_MM, store)
    assert len(measured) == 4
    assert measured[1] == 2 * measured[0]


def test_without_a_place_for_a_cache_they_are_measured_each_time(tmp_path: Path, measured: list[float]) -> None:
    (tmp_path / "file").write_text("in the way")
    for _ in range(2):
        assert with_recesses(figure(), WIDTH_MM, Store(tmp_path / "file")).parts[0].recess is not None
    assert len(measured) == 2
