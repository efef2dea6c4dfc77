"""Options that commands share."""

from __future__ import annotations

import pytest

from gallery.commands.options import pixels
from scenes.errors import InputError


@pytest.mark.parametrize(
    "size", ["9" * 5000 + "x640", "480x", "x", "480x640x", "15x480", "8193x480", "٤٨٠x640", "-480x640"]
)
def test_a_size_that_is_none_is_wrong_input(size: str) -> None:
    with pytest.raises(InputError, match="give width x height in pixels from 16 to 8192"):
        pixels(size)
