"""The denoised light of each lamp alone, and of all."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest

from materials.light.spectra import xyz
from render.clean_picture import clean_lamp_images, clean_xyz
from render.images.tracing import Tracing
from render.shot_light import shot_light
from tests.unit.render.test_frame import remember, shot, tracing

__all__ = ["tracing"]
PASSES = 2
IN_FRAME = {"at_cm": [6, -30, 14], "diameter_cm": 4}
"""A bulb between the camera and the figure."""


@pytest.mark.parametrize("bulb", [{}, IN_FRAME], ids=["out of frame", "in frame"])
def test_lamps_alone_add_up_to_the_picture_with_the_bodies_that_the_camera_sees(
    tracing: Tracing, bulb: dict[str, Any]
) -> None:
    changed = shot({"dimmer": 0.4}, {**bulb, "dimmer": 0.7})
    remember(tracing.store, changed)
    light = shot_light(changed, tracing, PASSES)
    panel, ball = clean_lamp_images(light, light.hero.emitters, tracing, PASSES)
    assert light.lamp_bodies.any() == bool(bulb)
    np.testing.assert_allclose(0.4 * panel + 0.7 * ball, clean_xyz(light), rtol=1e-4)


def test_before_a_body_no_other_lamp_is_seen_and_its_face_has_its_own_radiance(tracing: Tracing) -> None:
    changed = shot({}, {**IN_FRAME, "dimmer": 0.3})
    remember(tracing.store, changed)
    light = shot_light(changed, tracing, PASSES)
    panel, ball = clean_lamp_images(light, light.hero.emitters, tracing, PASSES)
    assert not panel[light.lamp_bodies].any()
    np.testing.assert_allclose(
        ball[light.lamp_bodies], [xyz(light.hero.emitters[1].radiance)] * light.lamp_bodies.sum()
    )
