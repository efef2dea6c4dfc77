"""How large the cache may be: 8 GiB, or as the environment says."""

from __future__ import annotations

import os
import re
from typing import Final

from scenes.errors import InputError

CAP_BYTES: Final = 8 * 2**30
CAP_VARIABLE: Final = "SPRUELIGHT_CACHE_GB"
GB: Final = 10**9


def default_cap_bytes() -> int:
    """Return the bytes that the cache may have: the value of SPRUELIGHT_CACHE_GB, in 10^9 bytes, or 8 GiB.

    Raises
    ------
    InputError
        If the value is not a number from 1 to 10^6.
    """
    typed = os.environ.get(CAP_VARIABLE)
    if not typed:
        return CAP_BYTES
    number = float(typed) if re.fullmatch(r"\d{1,7}(\.\d{1,3})?", typed.strip(), re.ASCII) else 0.0
    if not 1 <= number <= 1e6:
        raise InputError(f"{CAP_VARIABLE}={typed}: give how large the cache may be in GB, from 1 to 1000000, as 200")
    return int(number * GB)
