"""The kinds of input, by name, each with whole ones."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Final

from .arrangements import whole_arrangements, whole_kits, whole_setups
from .case import Case
from .measured import whole_photometry, whole_reflectances, whole_spectra
from .meshes import whole_meshes

KINDS: Final[Mapping[str, Callable[[], tuple[Case, ...]]]] = {
    "arrangement": whole_arrangements, "kit": whole_kits, "setup": whole_setups, "photometry": whole_photometry,
    "spectrum": whole_spectra, "reflectance": whole_reflectances, "mesh": whole_meshes,
}  # fmt: skip
