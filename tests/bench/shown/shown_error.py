"""The error of frames as they are shown: light beyond white counts as white, and 8 bits are part of a frame."""

from __future__ import annotations

import json
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray

from gallery.files.names import file_name
from gallery.files.pictures import read_picture
from materials.colour.srgb import srgb_decode
from render.camera.development import develop
from render.camera.exposure import Exposure
from render.camera.locked_exposure import white_point
from render.description.lit_emitter import lit_emitters
from render.shot import Shot
from tests.bench.errors import Estimate, Picture, Truth

from .lamp_references import lamp_reference


@dataclass(frozen=True, eq=False)
class SetupReference:
    """The light of a setup and the indirect part of it, halves (2, height, width, 3) XYZ, and its white point (3,)."""

    xyz: NDArray[np.float32]
    indirect: NDArray[np.float32]
    white_xyz: NDArray[np.float64]


def sum_of_lamps(shot: Shot, dimmers: Sequence[float], folder: Path) -> SetupReference:
    """Return the light of a shot, each lamp with its dimmer, from the references of a folder.

    White is that of the lamps as they light the whole frame: for lamps of one colour the frame's own.
    """
    emitters = lit_emitters(shot.setup, shot.room)
    factors = [*dimmers, *(1.0 for _ in emitters[len(dimmers) :])]  # the room has no dimmer
    lamps = [lamp_reference(folder, shot.geometry, emitter) for emitter in emitters]
    xyz = [lamp.xyz * np.float32(factor) for lamp, factor in zip(lamps, factors, strict=True)]
    indirect = [lamp.indirect * np.float32(factor) for lamp, factor in zip(lamps, factors, strict=True)]
    weights = [float(light[..., 1].sum()) for light in xyz]
    white = white_point(shot.camera, [emitter.radiance for emitter in emitters], weights)
    return SetupReference(np.add.reduce(xyz), np.add.reduce(indirect), white.xyz)


def developed(reference: SetupReference, xyz: NDArray[np.float32], exposure: Exposure) -> NDArray[np.float32]:
    """Return pictures (n, height, width, 3) of a reference's setup in linear sRGB, 1 at the frame's white."""
    return np.stack([develop(picture, exposure, reference.white_xyz) for picture in xyz])


def shown(linear: Picture) -> Picture:
    """Return linear pictures clipped to 0 and white."""
    return np.clip(linear, 0.0, 1.0)


def frame_errors(sheet: Path, shots: Sequence[Shot], folder: Path) -> dict[str, Estimate]:
    """Return the error of every frame in the folder that the command `sheet` wrote, by setup."""
    facts: dict[str, Any] = json.loads((sheet / "sheet.json").read_text(encoding="utf-8"))
    frames = {frame["setup"]: frame for frame in facts["frames"]}
    errors = {}
    for shot in shots:
        name = shot.setup.name
        lamps, camera = frames[name]["lamps"], frames[name]["camera"]
        reference = sum_of_lamps(shot, [lamp["dimmer"] for lamp in lamps], folder)
        exposure = Exposure(camera["shutter_s"], camera["iso"], camera["effective_f_number"])
        encoded = read_picture(sheet / "frames" / file_name(name, shot.finish))
        picture = srgb_decode(encoded / np.float32(255)).astype(np.float32)
        first, second = shown(developed(reference, reference.xyz, exposure))
        errors[name] = Truth((first, second), (first + second) / np.float32(2)).error(picture)
    return errors
