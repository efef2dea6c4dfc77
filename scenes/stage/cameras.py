"""The kinds of camera that an arrangement can name."""

from __future__ import annotations

import tomllib
from dataclasses import dataclass
from functools import cache
from importlib import resources


@dataclass(frozen=True)
class CameraKind:
    """Aperture and ISO that a kind of camera is used at on a stand."""

    f_number: float
    iso: float
    description: str


@cache
def camera_kinds() -> dict[str, CameraKind]:
    """Return the kinds of camera by name."""
    text = (resources.files("scenes.stage") / "cameras.toml").read_text(encoding="utf-8")
    return {name: CameraKind(**values) for name, values in tomllib.loads(text).items()}
