"""Sheets of black frames on disk, as an index finds them."""

from __future__ import annotations

from collections.abc import Mapping
from functools import cache
from pathlib import Path
from types import MappingProxyType
from typing import Any

from gallery.sheet.contact_sheet import ContactSheet, write_sheet
from render.frame import Frame
from scenes.setups.place_setup import LeftOut
from tests.support.sheets.frames import unlit_frame


def write_made_sheet(
    folder: Path, title: str = "Diver", *, setups: tuple[str, ...] = ("loop",),
    finishes: tuple[str, ...] = ("as-built",), left_out: tuple[LeftOut, ...] = (), rounds: int | None = None,
    grain: float | None = None, asked: Mapping[str, Any] = MappingProxyType({}),
) -> None:  # fmt: skip
    """Write a sheet of black frames in a folder, whole: pictures and sheet.json."""
    frames = [_frame(setup, finish) for setup in setups for finish in finishes]
    sheet = ContactSheet(title, "18 cm tall", frames, [grain] * len(frames), left_out)
    write_sheet(folder, sheet, {**asked, "rounds": rounds})


@cache
def _frame(setup: str, finish: str) -> Frame:
    return unlit_frame(setup, finish)
