"""What the commands share: their arguments and options, and what they open with them."""

from __future__ import annotations

from enum import StrEnum
from pathlib import Path
from typing import Annotated, Any

import typer

from scenes.errors import InputError


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


File = Annotated[Path | None, typer.Argument(help="arrangement (.toml) or mesh; none: the demo model")]
Height = Annotated[float | None, typer.Option("--height-cm", help="how tall the real model is")]
Length = Annotated[float | None, typer.Option("--length-cm", help="how long, front to back")]
Width = Annotated[float | None, typer.Option("--width-cm", help="how wide, side to side")]
Up = Annotated[str | None, typer.Option("--up", help="the mesh file's axis that points up: x, y, z, -x, ...")]
Front = Annotated[str | None, typer.Option("--front", help="the mesh file's axis that the face looks along")]
Faces = Annotated[float | None, typer.Option("--faces-deg", help="0 looks at the camera, + to camera right")]
Setups = Annotated[list[str] | None, typer.Option("--setup", help="a setup's name or .toml; may be repeated")]
Finishes = Annotated[list[str] | None, typer.Option("--finish", help="a topcoat; may be repeated")]
Size = Annotated[str | None, typer.Option("--size", metavar="WxH", help="pixels of a frame")]
Detail = Annotated[str | None, typer.Option("--detail", metavar="PART", help="a close-up of the parts of that name")]
Out = Annotated[Path, typer.Option("--out", help="folder to write to")]
Json = Annotated[bool, typer.Option("--json", help="print facts as JSON")]
How = Annotated[Quality, typer.Option("--quality")]


def sizing(
    height_cm: float | None, length_cm: float | None, width_cm: float | None, up: str | None, front: str | None,
    faces_deg: float | None,
) -> dict[str, Any]:  # fmt: skip
    """Return what is said of the subject, by the key that it has in an arrangement."""
    return {
        "height_cm": height_cm, "length_cm": length_cm, "width_cm": width_cm,
        "up": up, "front": front, "faces_deg": faces_deg,
    }  # fmt: skip


def open_file(file: Path | None, *given: Any) -> Any:
    """Return what a file names, or the demo, with sizes as `sizing` takes them."""
    from .inputs import open_input

    return open_input(file, sizing(*given))


def start_tracing() -> Any:
    """Return the way to lamp images, with the person's own cache."""
    from render.store import Store
    from render.tracing import Tracing

    return Tracing(Store())


def pixels(size: str | None) -> tuple[int, int] | None:
    """Return width and height of a size as `480x640`; InputError for another."""
    if size is None:
        return None
    width, _, height = size.lower().partition("x")
    if not (width.isdecimal() and height.isdecimal() and 16 <= int(width) <= 8192 and 16 <= int(height) <= 8192):
        raise InputError(f"--size {size}: give width x height in pixels from 16 to 8192, as 480x640")
    return int(width), int(height)
