"""Ctrl-C while a loop is recorded."""

from __future__ import annotations

from typing import Any

import pytest

from render.kernel.backend import mitsuba
from render.kernel.loops import while_loop


def interrupted(_: Any) -> tuple[Any]:
    raise KeyboardInterrupt


def wrong(_: Any) -> tuple[Any]:
    raise ValueError("this")


def test_an_interrupt_in_a_loop_within_a_loop_is_an_interrupt() -> None:
    zero = (mitsuba().UInt32(0),)

    def outer(i: Any) -> tuple[Any]:
        (end,) = while_loop((i,), lambda i: i < 3, interrupted, "inner")
        return (end,)

    with pytest.raises(KeyboardInterrupt):
        while_loop(zero, lambda i: i < 3, outer, "outer")


def test_any_other_error_in_a_loop_stays_one() -> None:
    with pytest.raises(RuntimeError):
        while_loop((mitsuba().UInt32(0),), lambda i: i < 3, wrong, "wrong")
