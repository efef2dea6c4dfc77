"""Passes that frames are measured at: of a draft, and about as many as `fine` takes of the demo."""

from __future__ import annotations

from typing import Final

PASSES: Final = {"draft": 2, "fine": 18}
