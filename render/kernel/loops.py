"""Symbolic loops that Ctrl-C stops as it stops anything else."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any


def loop(
    state: tuple[Any, ...], condition: Callable[..., Any], body: Callable[..., tuple[Any, ...]], label: str
) -> Any:
    """Return the state after `body` was applied while `condition` held, lane by lane.

    Dr.Jit records the loop by calling both once, and wraps what is raised meanwhile in an error of its own: an
    interrupt is given back as what it is.
    """
    import drjit as dr

    try:
        return dr.while_loop(state, condition, body, label=label)
    except RuntimeError as error:
        if isinstance(error.__cause__, KeyboardInterrupt):
            raise KeyboardInterrupt from None
        raise
