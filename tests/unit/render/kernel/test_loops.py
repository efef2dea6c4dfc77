"""An interruption while a loop is recorded."""

from __future__ import annotations

from typing import Any

import pytest

from render.kernel.backend import mitsuba
from render.kernel.loops import while_loop

ENDS: list[type[BaseException]] = [KeyboardInterrupt, SystemExit]


def wrong(_: Any) -> tuple[Any]:
    raise ValueError("this")


@pytest.mark.parametrize("end", ENDS)
def test_an_interruption_in_a_loop_within_a_loop_stays_one(end: type[BaseException]) -> None:
    zero = (mitsuba().UInt32(0),)

    def interrupted(_: Any) -> tuple[Any]:
        raise end

    def outer(i: Any) -> tuple[Any]:
        (end,) = while_loop((i,), lambda i: i < 3, interrupted, "inner")
        return (end,)

    with pytest.raises(end):
        while_loop(zero, lambda i: i < 3, outer, "outer")


def test_any_other_error_in_a_loop_stays_one() -> None:
    with pytest.raises(RuntimeError):
        while_loop((mitsuba().UInt32(0),), lambda i: i < 3, wrong, "wrong")
