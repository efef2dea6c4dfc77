"""Tables that programs gather from, and how many programs they make."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np
import pytest

from materials.surface.finish import Finish
from render.description.scene import Camera, Geometry, Surface
from render.kernel.backend import mitsuba
from render.kernel.tables import ALIGNMENT, float_table, integer_table
from render.kernel.trace import Tracer
from scenes.geometry import axes_facing
from scenes.lamps.emitter_shape import EmitterShape

LARGE = 1000
"""Operations of a program that traces paths, at least."""


def board(height: float) -> Geometry:
    """Return a board under a camera that looks down."""
    corners = np.array([[-1, -1, height], [1, -1, height], [1, 1, height], [-1, 1, height]], np.float32)
    surface = Surface("board", "subject", corners, None, np.array([[0, 1, 2], [0, 2, 3]], np.int32), Finish.board(0.5))
    return Geometry((surface,), Camera(np.array([0, 0, 5.0]), np.diag([1.0, -1.0, -1.0]), 0.2, 4, 4))


def lamp(x: float) -> EmitterShape:
    return EmitterShape("panel", np.array([x, 0, 3.0]), axes_facing((0, 0, -1)), (0.1, 0.1))


@pytest.fixture
def history() -> Iterator[None]:
    """Note each program that is launched."""
    mitsuba()
    import drjit as dr

    dr.kernel_history_clear()
    with dr.scoped_set_flag(dr.JitFlag.KernelHistory, True):
        yield
    dr.kernel_history_clear()


@pytest.mark.parametrize("count", [1, 7, 1000])
def test_a_table_is_aligned_whatever_it_is_made_of(count: int) -> None:
    for skipped in range(4):
        values = np.arange(count + skipped, dtype=np.float32)[skipped:]
        for table in (float_table(values), integer_table(values)):
            seen = np.from_dlpack(table)
            assert seen.ctypes.data % ALIGNMENT == 0
            np.testing.assert_array_equal(seen, values)


@pytest.mark.usefixtures("history")
def test_all_passes_of_all_geometries_are_traced_by_one_program() -> None:
    """Whatever they depict: another program would be compiled for a second, and for the same pictures."""
    import drjit as dr

    clutter = []
    for height in (0.0, 0.5, 1.0):
        tracer = Tracer(board(height))
        for number in range(3):
            clutter.append(np.empty(100 * number + 50, np.uint8))  # so that numpy's memory lies elsewhere
            tracer.planes([lamp(height)], number)
    programs = [entry["hash"] for entry in dr.kernel_history() if entry.get("operation_count", 0) > LARGE]
    assert len(programs) == 9
    assert len(set(programs)) == 1
