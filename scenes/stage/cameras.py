"""Camera bodies: sensor, lens and the settings within their reach."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from materials.packaged import packaged_toml
from scenes.units import stops

if TYPE_CHECKING:
    from scenes.arrangement.arrangement import CameraModel

Span = tuple[float, float]

F_NUMBER_STOPS = 1 / 6
"""How far an f-number may lie outside a body's range: half of the third of a stop that cameras step in."""


@dataclass(frozen=True)
class CameraBody:
    """A kind of camera with its lens.

    Parameters
    ----------
    sensor_mm
        Long and short side.
    focal_mm
        Shortest and longest focal length.
    f_numbers, isos, shutters_s
        The least and the greatest.
    f_number
        What it is used at unless the arrangement says otherwise.
    lens
        Its name where that tells more than its focal length, as on a phone.
    """

    description: str
    sensor_mm: Span
    focal_mm: Span
    f_numbers: Span
    f_number: float
    isos: Span
    shutters_s: Span
    lens: str | None = None

    def accepts(self, f_number: float) -> bool:
        """Whether its lens has an f-number, to a sixth of a stop."""
        widest, smallest = self.f_numbers
        return 2 * stops(widest / f_number) <= F_NUMBER_STOPS and 2 * stops(f_number / smallest) <= F_NUMBER_STOPS

    @property
    def apertures(self) -> str:
        """Its f-numbers in words: ``f/1.4 to f/32``, ``f/1.7 only``."""
        widest, smallest = (f"f/{n:.2g}" for n in self.f_numbers)
        return f"{widest} only" if widest == smallest else f"{widest} to {smallest}"


def camera_bodies() -> dict[str, CameraBody]:
    """Return the camera bodies by kind."""
    return {name: _body(values) for name, values in packaged_toml("scenes.stage", "cameras.toml").items()}


def _body(values: dict[str, Any]) -> CameraBody:
    spans: dict[str, Any] = {key: tuple(value) for key, value in values.items() if isinstance(value, list)}
    return CameraBody(**values | spans)


def frame_aspect(camera: CameraModel) -> float:
    """Return the long over the short side of the frame that a camera takes: its whole sensor."""
    long, short = camera.body.sensor_mm
    return long / short
