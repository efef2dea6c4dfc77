"""Symbolic loops that an interruption ends like any other code."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any


def while_loop(
    state: tuple[Any, ...], condition: Callable[..., Any], body: Callable[..., tuple[Any, ...]], label: str
) -> Any:
    """Return the state after `body` was applied, lane by lane, while `condition` was true.

    Dr.Jit calls both functions once to record the loop, and wraps an exception raised meanwhile in a RuntimeError: one
    that ends the program, KeyboardInterrupt or SystemExit, is unwrapped and raised as itself.
    """
    import drjit as dr

    try:
        return dr.while_loop(state, condition, body, label=label)
    except RuntimeError as error:
        if isinstance(error.__cause__, KeyboardInterrupt | SystemExit):
            raise error.__cause__ from None
        raise
