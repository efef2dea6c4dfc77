"""What a part of the page shows, as pixels."""

from __future__ import annotations

from io import BytesIO

import numpy as np
from numpy.typing import NDArray
from PIL import Image
from playwright.sync_api import Locator


def shown(element: Locator) -> NDArray[np.uint8]:
    """Return an element as it is on the screen, (height, width, 3) in sRGB."""
    element.scroll_into_view_if_needed()
    return np.asarray(Image.open(BytesIO(element.screenshot(animations="disabled"))).convert("RGB"))
