"""The kernel against the stock path tracer: every kind of lamp on every kind of finish, with the statistics shown."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import pytest

from tests.support.kernel.agreement import check
from tests.support.kernel.cases import ALL_LAMPS
from tests.support.kernel.pictures import kernel_pictures
from tests.support.kernel.references import Oracles
from tests.support.kernel.summaries import Batches
from tests.support.still_life import FINISHES, LAMPS, still_life


@dataclass(frozen=True, eq=False)
class Traced:
    """The kernel's pictures of the still life in one finish, lamp by lamp, traced together."""

    finish: str
    kernel: dict[str, Batches]


SLOW = {"matt", "near-smooth plastic", "near-smooth metal", "rough metal"}


@pytest.fixture(
    scope="module", params=[pytest.param(name, marks=[pytest.mark.slow] * (name in SLOW)) for name in FINISHES]
)
def traced(request: pytest.FixtureRequest) -> Traced:
    pictures = kernel_pictures(still_life(FINISHES[request.param]), list(LAMPS.values()))
    return Traced(request.param, dict(zip(LAMPS, pictures, strict=True)))


@pytest.mark.parametrize("kind", LAMPS)
def test_the_kernel_gives_the_picture_of_the_stock_path_tracer(traced: Traced, kind: str, oracle: Oracles) -> None:
    case = f"{kind}, {traced.finish}"
    check(case, traced.kernel[kind], oracle(case))


def test_lamps_traced_each_as_if_alone_add_up_to_all_of_them_lit_at_once(traced: Traced, oracle: Oracles) -> None:
    case = f"{ALL_LAMPS}, {traced.finish}"
    check(case, np.sum([*traced.kernel.values()], axis=0), oracle(case))
