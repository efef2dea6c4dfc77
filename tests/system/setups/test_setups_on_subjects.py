"""Rim and high-key are what they are called on several subjects, in the pictures as they are shown."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from gallery.frames.shots import shots_of
from gallery.inputs import open_input
from materials.colour.srgb import srgb_decode
from render.frame import take_frame
from render.images.store.store import Store
from render.images.tracing import Tracing
from render.shot_light import ShotLight, shot_light
from scenes.setups.lamp_choice import generic_lamps
from tests.support.outline import lit_outline_share

pytestmark = pytest.mark.slow
SIZE, PASSES = (240, 320), 4
LUMINANCE = np.array([0.2126, 0.7152, 0.0722])
LIT_SHARES = {2: 0.6, 1: 0.35}
"""Of the outline, by the number of lamps owned."""
DARK_SHEET, WHITE_SHEET, BURNT = 90, 245, 0.01
"""8-bit sRGB of a black and of a white sheet; share of a frame that may clip."""
FIGURE, BUST, CAR = (Path(f"stand-in:{name}") for name in ("figure", "bust", "car"))


def _shown(setup: str, model: Path | None, lamps: int | None = None) -> tuple[np.ndarray, ShotLight]:
    """Return a setup's picture, 8-bit sRGB, and its light; `lamps` pocket panels are owned."""
    arrangement = open_input(model, {})
    if lamps is not None:
        pockets = tuple(lamp for lamp in generic_lamps() if lamp.model.preset == "pocket panel")
        arrangement = replace(arrangement, lamps=pockets[:lamps])
    (shot,) = shots_of(arrangement, [setup], (), SIZE)
    tracing = Tracing(Store())
    return take_frame(shot, tracing, PASSES).rgb, shot_light(shot, tracing, PASSES)


@pytest.mark.parametrize("lamps", LIT_SHARES)
@pytest.mark.parametrize("model", [None, FIGURE, BUST], ids=["demo", "figure", "bust"])
def test_rim_outlines_a_subject_before_a_dark_sheet(model: Path | None, lamps: int, fact: list[str]) -> None:
    rgb, light = _shown("rim", model, lamps)
    assert len(light.setup.lamps) == lamps
    lit = lit_outline_share(srgb_decode(rgb / 255.0) @ LUMINANCE, light.features.subject > 0.99)
    sheet = float(np.percentile(rgb[light.backdrop_mask].mean(axis=-1), 90))
    burnt, sheet_burnt = (float((pixels == 255).any(axis=-1).mean()) for pixels in (rgb, rgb[light.backdrop_mask]))
    fact.append(
        f"rim by {lamps} on {model or 'the demo'}: {100 * lit:.0f} % of the outline lit, 90th percentile of the sheet "
        f"sRGB {sheet:.0f}, {100 * burnt:.2f} % of the frame burnt, {100 * sheet_burnt:.2f} % of the sheet"
    )
    assert lit >= LIT_SHARES[lamps]
    assert sheet < DARK_SHEET
    assert max(burnt, sheet_burnt) < BURNT


@pytest.mark.parametrize("model", [FIGURE, BUST, CAR], ids=["figure", "bust", "car"])
def test_the_sheet_of_high_key_is_white(model: Path, fact: list[str]) -> None:
    rgb, light = _shown("high-key", model)
    median = float(np.median(rgb[light.backdrop_mask].min(axis=-1)))
    fact.append(f"high-key on {model}: the sheet's median is at sRGB {median:.0f}")
    assert median > WHITE_SHEET
