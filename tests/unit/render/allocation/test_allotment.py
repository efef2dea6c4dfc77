"""Passes go where they lower the error of the frames most for their cost."""

from __future__ import annotations

import math
from collections.abc import Sequence
from itertools import product

import pytest
from hypothesis import given
from hypothesis import strategies as st

from render.allocation.allotment import FrameShares, ImageState, allot, spent
from render.images.passes.rungs import rungs_to


def error(frames: Sequence[FrameShares], before: Sequence[ImageState], passes: Sequence[int]) -> float:
    """Return the sum over frames of the square of their mean square errors."""
    return sum(sum(s * before[i].passes / passes[i] for i, s in frame.items()) ** 2 for frame in frames)


def after(before: Sequence[ImageState], passes: Sequence[int]) -> list[ImageState]:
    return [
        ImageState(state.geometry, count, state.path_cost, state.lamp_cost)
        for state, count in zip(before, passes, strict=True)
    ]


def test_the_coarsest_frame_gets_passes_first() -> None:
    states = [ImageState(i, 8, 0.3, 0.2) for i in range(3)]
    assert allot(states, [{0: 1e-4}, {1: 4e-4}, {2: 1e-4}], 0.1) == [8, 12, 8]


def test_of_equal_frames_the_cheaper_gets_passes_first() -> None:
    states = [ImageState(0, 8, 3.0, 2.0), ImageState(1, 8, 0.3, 0.2)]
    assert allot(states, [{0: 1e-4}, {1: 1e-4}], 0.1) == [8, 12]


def test_a_lamp_whose_paths_are_traced_anyway_comes_along_though_its_share_is_small() -> None:
    states = [ImageState(0, 8, 0.3, 0.01), ImageState(0, 8, 0.3, 0.01)]
    assert allot(states, [{0: 4e-4}, {1: 1e-4}], 0.1) == [12, 12]
    dear = [ImageState(0, 8, 0.0, 0.3), ImageState(0, 8, 0.0, 0.3)]
    assert allot(dear, [{0: 4e-4}, {1: 1e-4}], 0.1) == [12, 8]


def test_without_any_noise_nothing_is_allotted() -> None:
    assert allot([ImageState(0, 8, 0.3, 0.2)], [{0: 0.0}], 1.0) == [8]


states = st.lists(
    st.builds(ImageState, st.integers(0, 2), st.sampled_from([8, 12, 16]), st.just(0.3), st.just(0.2)),
    min_size=1, max_size=4,
)  # fmt: skip


@given(states, st.data())
def test_rounds_of_steps_are_near_the_best_that_their_cost_can_do(
    states: list[ImageState], data: st.DataObject
) -> None:
    shares = st.floats(1e-6, 1e-3)
    frames = [{i: data.draw(shares) for i in range(len(states))}, {0: data.draw(shares)}]
    passes = allot(states, frames, spent(states))
    assert all(count in {*rungs_to(0, count)} for count in passes)
    ours, cost = error(frames, states, passes), spent(after(states, passes))
    others = product(*([*rungs_to(state.passes - 1, 64)] for state in states))
    best = min(
        (error(frames, states, other) for other in others if spent(after(states, other)) <= cost), default=math.inf
    )
    assert ours <= 1.35 * best


@pytest.mark.parametrize("budget", [0.01, 1.0, 10.0])
def test_the_cost_of_a_round_is_its_budget_but_for_its_last_step(budget: float) -> None:
    states = [ImageState(i, 8, 0.3, 0.2) for i in range(5)]
    frames = [{i: (i + 1) * 1e-5} for i in range(5)]
    passes = allot(states, frames, budget)
    cost = spent(after(states, passes)) - spent(states)
    dearest = max((0.3 + 0.2) * count / 3 for count in passes)
    assert budget <= cost + 1e-9 <= budget + dearest + 1e-9
