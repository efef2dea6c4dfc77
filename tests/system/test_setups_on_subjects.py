"""Rim and high-key are what they are called on several subjects, in the pictures as they are shown."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest

from gallery.frames.shots import shots_of
from gallery.inputs import open_input
from materials.colour.srgb import srgb_decode
from render.frame import take_frame
from render.images.store import Store
from render.images.tracing import Tracing
from render.shot_light import ShotLight, shot_light
from tests.support.outline import lit_outline_share

pytestmark = pytest.mark.slow
SIZE, PASSES = (240, 320), 4
LUMINANCE = np.array([0.2126, 0.7152, 0.0722])
LIT_SHARE, DARK_SHEET, WHITE_SHEET, BURNT = 0.6, 90, 245, 0.01
"""Of the outline lit by two lamps; 8-bit sRGB of a black and of a white sheet; share of a frame that may clip."""
FIGURE, BUST, CAR = (Path(f"stand-in:{name}") for name in ("figure", "bust", "car"))


def _shown(setup: str, model: Path | None) -> tuple[np.ndarray, ShotLight]:
    """Return a setup's picture, 8-bit sRGB, and its light."""
    (shot,) = shots_of(open_input(model, {}), [setup], (), SIZE)
    tracing = Tracing(Store())
    return take_frame(shot, tracing, PASSES).rgb, shot_light(shot, tracing, PASSES)


@pytest.mark.parametrize("model", [None, FIGURE, BUST], ids=["demo", "figure", "bust"])
def test_rim_outlines_most_of_a_subject_before_a_dark_sheet(model: Path | None, fact: list[str]) -> None:
    rgb, light = _shown("rim", model)
    lit = lit_outline_share(srgb_decode(rgb / 255.0) @ LUMINANCE, light.features.subject > 0.99)
    sheet = float(np.percentile(rgb[light.backdrop_mask].mean(axis=-1), 90))
    burnt, sheet_burnt = (float((pixels == 255).any(axis=-1).mean()) for pixels in (rgb, rgb[light.backdrop_mask]))
    fact.append(
        f"rim on {model or 'the demo'}: {100 * lit:.0f} % of the outline lit, sheet's 90th percentile at sRGB "
        f"{sheet:.0f}, {100 * burnt:.2f} % of the frame burnt, {100 * sheet_burnt:.2f} % of the sheet"
    )
    assert lit >= LIT_SHARE
    assert sheet < DARK_SHEET
    assert max(burnt, sheet_burnt) < BURNT


@pytest.mark.parametrize("model", [FIGURE, BUST, CAR], ids=["figure", "bust", "car"])
def test_the_sheet_of_high_key_is_white(model: Path, fact: list[str]) -> None:
    rgb, light = _shown("high-key", model)
    median = float(np.median(rgb[light.backdrop_mask].min(axis=-1)))
    fact.append(f"high-key on {model}: the sheet's median is at sRGB {median:.0f}")
    assert median > WHITE_SHEET
