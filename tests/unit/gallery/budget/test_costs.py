"""What frames cost."""

from __future__ import annotations

import pytest

from gallery.budget.costs import FRAME_COST, GAIN_COST, LEAST_COST, frame_costs
from tests.support.sheets.frames import unlit_frame


def test_a_lamp_image_that_frames_share_is_denoised_once() -> None:
    shots = [unlit_frame(setup).shot for setup in ("loop", "loop", "rim")]
    camera, lamps = shots[0].geometry.camera, len(shots[0].emitter_shapes)
    size = camera.width * camera.height / 1e6
    costs = frame_costs(shots)
    assert costs[0] == pytest.approx(size * (FRAME_COST + lamps * GAIN_COST) + (1 + lamps) * LEAST_COST)
    assert costs[1] == pytest.approx(size * FRAME_COST + LEAST_COST)
