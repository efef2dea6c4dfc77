"""A contact sheet says above its frames how large the model is, what shares an exposure, and how fine it is."""

from __future__ import annotations

import re

import pytest

from gallery.sheet.contact_sheet import ContactSheet
from tests.support.sheets.frames import unlit_frame


@pytest.mark.parametrize(
    ("grains", "words"),
    [((0.0028, 0.0016), "grain 0.16 to 0.28 %"), ((0.003, 0.003), "grain 0.3 %"), ((None, None), "a draft")],
)
def test_the_line_under_the_title_ends_in_the_grain(grains: tuple[float | None, ...], words: str) -> None:
    frames = [unlit_frame(setup, "as-built") for setup in ("loop", "rim")]
    sheet = ContactSheet("Diver", "18 cm tall", frames, grains)
    assert re.fullmatch(f"18 cm tall; one exposure in all frames: .*; {re.escape(words)}", sheet.heading)


def test_of_one_frame_no_exposure_is_shared() -> None:
    assert ContactSheet("Diver", "18 cm tall", [unlit_frame("loop", "as-built")], [0.002]).heading == (
        "18 cm tall; grain 0.2 %"
    )
