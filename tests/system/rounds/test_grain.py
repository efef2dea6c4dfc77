"""The grain that halves estimate is that of the frame, over the setups of the default sheet."""

from __future__ import annotations

from pathlib import Path

import pytest

from gallery.frames.shots import shots_of
from gallery.inputs import open_input
from render.allocation.rounds import Rounds
from render.allocation.schedule import UNIFORM
from render.allocation.work import carry_out
from render.images.store.store import Store
from render.images.tracing import Tracing
from tests.bench.shown.grain import true_errors
from tests.bench.shown.lamp_references import write_references
from tests.support.notes import note

SIZE = (90, 120)
REFERENCE_PASSES = 48
WITHIN = 0.3
"""Of the true grain, the estimate's."""


@pytest.mark.slow
def test_the_estimate_of_grain_is_right_within_30_percent_in_every_setup(tmp_path: Path) -> None:
    shots, tracing = shots_of(open_input(None, {}), (), (), SIZE), Tracing(Store(tmp_path / "store"))
    rounds = Rounds(shots, tracing)
    for _ in UNIFORM:
        for piece in rounds.next_work():
            carry_out(piece, tracing)
        rounds.complete()
    write_references(tmp_path / "references", shots, REFERENCE_PASSES)
    ratios = {}
    true = true_errors(shots, tracing, tmp_path / "references").grain
    for shot, grain, error in zip(shots, rounds.grains(), true, strict=True):
        ratios[shot.setup.name] = (grain or 0.0) / error
        note("grain", f"{shot.setup.name}: estimated {grain or 0:.2%}, true {error:.2%}, from other paths")
    assert len(ratios) == 14
    assert {name: ratio for name, ratio in ratios.items() if abs(ratio - 1) > WITHIN} == {}
