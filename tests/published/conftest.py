"""The reference library is imported once, before warnings become errors."""

from __future__ import annotations

import warnings

with warnings.catch_warnings():
    # the library says at import that plotting is not installed; nothing here plots
    warnings.simplefilter("ignore")
    import colour  # noqa: F401
