"""The kinds of damaged input, by name."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Final

from .arrangements import arrangement, kit, setup
from .case import Draw
from .measured import photometry, reflectance, spectrum

KINDS: Final[Mapping[str, Draw]] = {
    "arrangement": arrangement, "kit": kit, "setup": setup, "photometry": photometry, "spectrum": spectrum,
    "reflectance": reflectance,
}  # fmt: skip
