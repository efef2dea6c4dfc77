"""What a page relights by: from its facts, frames come out as they are taken."""

from __future__ import annotations

from typing import Any

import numpy as np

from gallery.page.relight.facts import frame_facts, shared_facts
from gallery.page.relight.layers import Layers
from render.frame import take_frame
from render.images.tracing import Tracing
from render.shot_light import shot_light
from tests.support.relit_frame import Facts, initial_state, relit
from tests.unit.render.test_frame import HEIGHT, WIDTH, shot, tracing

__all__ = ["tracing"]
PASSES = 2
A_STEP = 4
"""Levels of sRGB, of half a step of a layer's curve."""


def facts_of(tracing: Tracing, *changes: dict[str, Any], **keys: Any) -> tuple[Facts, Facts]:
    """Return the facts of a frame, and those that frames share."""
    layers, light = Layers(), shot_light(shot(*changes, **keys), tracing, PASSES)
    return frame_facts(light, light.metered_exposure, tracing, PASSES, layers), shared_facts(layers)


def test_as_taken_it_is_the_frame(tracing: Tracing) -> None:
    for changes, keys in (((), {}), ((), {"room": {"lux": 40}}), ((), {"camera": {"white_balance": 5500}})):
        facts, shared = facts_of(tracing, *changes, **keys)
        taken = take_frame(shot(*changes, **keys), tracing, PASSES).rgb
        assert taken.shape == (HEIGHT, WIDTH, 3)
        assert np.abs(relit(facts, shared, initial_state(facts)).astype(int) - taken).max() <= A_STEP
