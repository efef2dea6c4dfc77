"""Small frames of every setup of the demo model, traced once for all tests that look at them."""

from __future__ import annotations

from collections.abc import Iterator

import pytest

from gallery.frames.shots import shots_of
from gallery.inputs import open_input
from render.images.jobs import take_frames
from render.images.store.store import Store
from render.images.tracing import Tracing
from scenes.setups.setup import setup_names
from tests.support.kernel.references import Oracles, live, stored
from tests.support.measured import Measured
from tests.support.notes import note

SMALL = (150, 200)
PASSES = 4
FACTS = "facts of the trade (common practice, no source), of the demo model unless named"


@pytest.fixture(scope="session")
def demo() -> dict[str, Measured]:
    """Every setup of the demo model, measured zone by zone."""
    tracing = Tracing(Store())
    shots = shots_of(open_input(None, {}), setup_names(), (), SMALL)
    frames = take_frames(shots, tracing, PASSES)
    return {frame.setup.name: Measured(frame, tracing, PASSES) for _, frame in frames}


@pytest.fixture
def fact() -> Iterator[list[str]]:
    """Lines that a test adds are printed in the summary: the numbers behind a fact of the trade."""
    lines: list[str] = []
    yield lines
    for line in lines:
        note(FACTS, line)


@pytest.fixture(params=[stored, pytest.param(live, marks=pytest.mark.slow)], ids=["stored", "live"])
def oracle(request: pytest.FixtureRequest) -> Oracles:
    """Give the oracle's pictures by the name of their case, as they are kept and traced anew."""
    gives: Oracles = request.param
    return gives
