"""The kernel against the stock path tracer: every kind of lamp on every kind of finish, with the statistics shown."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import pytest

from render.description.scene import Geometry
from tests.support.agreement import Batches, check
from tests.support.sides import kernel_side, oracle_side, subject_mask
from tests.support.still_life import FINISHES, LAMPS, still_life

NOISY = {("disc", "near-smooth metal"), *(("room", finish) for finish in FINISHES)}
"""What takes twice the samples to be known as well."""
KINDS, NAMES = [*LAMPS, "all"], [*FINISHES]


@dataclass(frozen=True, eq=False)
class Traced:
    """The still life in one finish, with the kernel's pictures of its lamps, traced together."""

    finish: str
    geometry: Geometry
    kernel: dict[str, Batches]


@pytest.fixture(scope="module", params=FINISHES)
def traced(request: pytest.FixtureRequest) -> Traced:
    geometry = still_life(FINISHES[request.param])
    pictures = kernel_side(geometry, list(LAMPS.values()))
    return Traced(request.param, geometry, dict(zip(LAMPS, pictures, strict=True)))


@pytest.mark.parametrize("kind", LAMPS)
def test_the_kernel_gives_the_picture_of_the_stock_path_tracer(traced: Traced, kind: str) -> None:
    samples = 1024 if (kind, traced.finish) in NOISY else 512
    oracle = oracle_side(traced.geometry, [LAMPS[kind]], samples, case=_case(traced, kind))
    check(f"{kind}, {traced.finish}", traced.kernel[kind], oracle, subject_mask())


def test_lamps_traced_each_as_if_alone_add_up_to_all_of_them_lit_at_once(traced: Traced) -> None:
    oracle = oracle_side(traced.geometry, list(LAMPS.values()), case=_case(traced, "all"))
    check(f"all lit at once, {traced.finish}", np.sum([*traced.kernel.values()], axis=0), oracle, subject_mask())


def _case(traced: Traced, kind: str) -> int:
    return len(KINDS) * NAMES.index(traced.finish) + KINDS.index(kind)
