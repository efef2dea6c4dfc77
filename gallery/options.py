"""What the commands share: their arguments and options, and what they open with them."""

from __future__ import annotations

import inspect
import re
from collections.abc import Callable
from enum import StrEnum
from functools import wraps
from pathlib import Path
from typing import Annotated, Any, TypeAlias

import typer

from scenes.errors import InputError
from scenes.text import printable

from .terminal import remark


class Quality(StrEnum):
    """How long a picture may take."""

    draft = "draft"
    fine = "fine"
    overnight = "overnight"


class Listable(StrEnum):
    """What can be listed."""

    setups = "setups"
    finishes = "finishes"
    lamps = "lamps"
    cameras = "cameras"
    metals = "metals"


File = Annotated[Path | None, typer.Argument(help="arrangement (.toml), mesh or stand-in:NAME; none: the demo model")]
Sizing: TypeAlias = dict[str, Any]
"""What is said of the subject on the command line, by the key that it has in an arrangement."""
SIZING: dict[str, Any] = {
    "height_cm": Annotated[float | None, typer.Option("--height-cm", help="how tall the model is")],
    "length_cm": Annotated[float | None, typer.Option("--length-cm", help="how long, front to back")],
    "width_cm": Annotated[float | None, typer.Option("--width-cm", help="how wide, side to side")],
    "scale": Annotated[str | None, typer.Option("--scale", metavar="1:N", help="of the real thing, with its size")],
    "real_height_m": Annotated[float | None, typer.Option("--real-height-m", help="how tall the real thing is")],
    "real_length_m": Annotated[float | None, typer.Option("--real-length-m", help="how long the real thing is")],
    "real_width_m": Annotated[float | None, typer.Option("--real-width-m", help="how wide the real thing is")],
    "up": Annotated[str | None, typer.Option("--up", help="the mesh file's axis that points up: x, y, z, -x, ...")],
    "front": Annotated[str | None, typer.Option("--front", help="the mesh file's axis that the face looks along")],
    "faces_deg": Annotated[float | None, typer.Option("--faces-deg", help="0 looks at the camera, + to camera right")],
}
Setup = Annotated[str, typer.Option("--setup", help="a setup's name or .toml, or as-placed")]
Setups = Annotated[list[str] | None, typer.Option("--setup", help="a setup's name or .toml; may be repeated")]
Finishes = Annotated[list[str] | None, typer.Option("--finish", help="a topcoat; may be repeated")]
Size = Annotated[str | None, typer.Option("--size", metavar="WxH", help="pixels of a frame")]
Detail = Annotated[str | None, typer.Option("--detail", metavar="PART", help="a close-up of the parts of that name")]
Out = Annotated[Path, typer.Option("--out", help="folder to write to")]
Json = Annotated[bool, typer.Option("--json", help="print facts as JSON")]
How = Annotated[Quality, typer.Option("--quality")]


def sized(command: Callable[..., None]) -> Callable[..., None]:
    """Return a command that takes the options which say how large a model is, and gets them as its `sizing`."""
    own = inspect.signature(command, eval_str=True)
    kept = [parameter for name, parameter in own.parameters.items() if name != "sizing"]
    added = [
        inspect.Parameter(name, inspect.Parameter.KEYWORD_ONLY, default=None, annotation=option)
        for name, option in SIZING.items()
    ]

    @wraps(command)
    def taking(**said: Any) -> None:
        sizing = {name: said.pop(name) for name in SIZING}
        command(**said, sizing=sizing)

    taking.__signature__ = own.replace(parameters=[*kept, *added])  # type: ignore[attr-defined]
    taking.__annotations__ = {parameter.name: parameter.annotation for parameter in (*kept, *added)}
    return taking


def open_file(file: Path | None, sizing: Sizing) -> Any:
    """Return what a file names, or the demo, in the size that is said; says on stderr what a stand-in stands in for."""
    from rich.console import Console
    from rich.markup import escape

    from .inputs import open_input, stand_in_words

    with Console(stderr=True).status("reading") as status:  # shown on a terminal alone
        arrangement = open_input(file, sizing, lambda words: status.update(escape(printable(words))))
    if words := stand_in_words(file):
        remark(words)
    return arrangement


def start_tracing() -> Any:
    """Return the way to lamp images, with the person's own cache."""
    from render.images.store import Store
    from render.images.tracing import Tracing

    return Tracing(Store())


def pixels(size: str | None) -> tuple[int, int] | None:
    """Return width and height of a size as `480x640`; InputError for another."""
    if size is None:
        return None
    width, _, height = size.lower().partition("x")
    if not all(re.fullmatch("[0-9]{2,4}", side) and 16 <= int(side) <= 8192 for side in (width, height)):
        raise InputError(f"--size {size}: give width x height in pixels from 16 to 8192, as 480x640")
    return int(width), int(height)
