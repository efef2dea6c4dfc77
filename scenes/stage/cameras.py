"""The kinds of camera that an arrangement can name."""

from __future__ import annotations

from dataclasses import dataclass

from materials.packaged import packaged_toml


@dataclass(frozen=True)
class CameraKind:
    """Aperture and ISO that a kind of camera is used at on a stand."""

    f_number: float
    iso: float
    description: str


def camera_kinds() -> dict[str, CameraKind]:
    """Return the kinds of camera by name."""
    return {name: CameraKind(**values) for name, values in packaged_toml("scenes.stage", "cameras.toml").items()}
