"""What a contact sheet is asked for, and what a finished one says that it was made from."""

from __future__ import annotations

import os
import shlex
from collections.abc import Callable, Sequence
from pathlib import Path
from typing import Annotated, Any, Literal

from pydantic import BeforeValidator, Field

from gallery.frames.exposure_scope import ExposureScope
from render.shot import Shot
from scenes.arrangement.value_types import Model
from scenes.builtin.standin import STAND_IN
from scenes.fingerprint import fingerprint

Pixels = Annotated[int, Field(ge=16, le=8192)]


def _given(sizing: Any) -> Any:
    return {key: value for key, value in sizing.items() if value is not None} if isinstance(sizing, dict) else sizing


Given = Annotated[dict[str, str | float], BeforeValidator(_given)]
"""Keys that were given; those that were not are None."""


class Request(Model):
    """What `spruelight sheet` is asked for; files are named from the current folder, of a finished sheet from its own.

    `file` is None of the demo; `sizing` has the subject's keys given on the command line.
    """

    file: str | None = None
    sizing: Given
    setups: tuple[str, ...] = ()
    finishes: tuple[str, ...] = ()
    size: tuple[Pixels, Pixels] | None = None
    detail: str | None = None
    exposure: ExposureScope = ExposureScope.setup
    quality: Literal["draft", "fine", "overnight"]

    @property
    def frame_options(self) -> str:
        """The options, as they are typed, that one of its frames is taken with beside its arrangement and finish."""
        size = [] if self.size is None else ["--size", "x".join(map(str, self.size))]
        detail = [] if self.detail is None else ["--detail", self.detail]
        quality = [] if self.quality == "draft" else ["--quality", self.quality]
        return shlex.join([*quality, *size, *detail])

    def seen_from(self, folder: Path) -> Request:
        """Return the same request with its files named from a folder."""
        return self._with_files(lambda name: _relative(Path(name), folder))

    def found_from(self, folder: Path) -> Request:
        """Return the same request, its files named from a folder, with their names from the current one."""
        return self._with_files(lambda name: _relative(Path(os.path.realpath(folder), name), Path()))

    def _with_files(self, renamed: Callable[[str], str]) -> Request:
        setups = tuple(renamed(name) if name.endswith(".toml") else name for name in self.setups)
        is_file = self.file is not None and not self.file.startswith(STAND_IN)
        return self.model_copy(update={"file": renamed(str(self.file)) if is_file else self.file, "setups": setups})


class MadeFrom(Request):
    """What a finished sheet was asked for, the rounds that it has, and the fingerprint of all its shots."""

    rounds: Annotated[int, Field(ge=1)] = 1
    fingerprint: str


def made_from(request: Request, folder: Path, shots: Sequence[Shot], rounds: int = 1) -> dict[str, Any]:
    """Return what the sheet in a folder is made from as plain data, for JSON; of so many rounds, one is a draft."""
    asked = request.seen_from(folder).model_dump(mode="json")
    return {**asked, "rounds": rounds, "fingerprint": shots_fingerprint(shots)}


def shots_fingerprint(shots: Sequence[Shot]) -> str:
    """Return a hash of everything that the frames of shots depend on, their names and their order too."""
    return fingerprint(tuple((shot.setup.name, shot.finish, shot.fingerprint) for shot in shots))


def _relative(path: Path, folder: Path) -> str:
    """Return a path from a folder; a link of that name stays one."""
    there = Path(os.path.realpath(path.parent), path.name)
    try:
        return Path(os.path.relpath(there, os.path.realpath(folder))).as_posix()
    except ValueError:  # on another drive of Windows
        return there.as_posix()
