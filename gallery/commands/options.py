"""Arguments and options that commands share."""

from __future__ import annotations

import inspect
import re
from collections.abc import Callable
from enum import StrEnum
from functools import wraps
from pathlib import Path
from typing import Annotated, Any, Final, TypeAlias

import typer

from gallery.frames.exposure_scope import ExposureScope
from gallery.paper.size import PaperName
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
    metals = "metals"


FILE_HELP: Final = "arrangement (.toml), mesh or stand-in:NAME; none: the demo model"
File = Annotated[Path | None, typer.Argument(help=FILE_HELP)]
FileOrFolder = Annotated[Path | None, typer.Argument(help=f"{FILE_HELP}; or a folder of these")]
Sizing: TypeAlias = dict[str, Any]
"""The subject's keys that were given on the command line, as they are called in an arrangement."""
SIZING: dict[str, Any] = {
    "height_cm": Annotated[float | None, typer.Option("--height-cm", help="how tall the model is")],
    "length_cm": Annotated[float | None, typer.Option("--length-cm", help="how long, front to back")],
    "width_cm": Annotated[float | None, typer.Option("--width-cm", help="how wide, side to side")],
    "unit": Annotated[str | None, typer.Option("--unit", help="of the mesh file: mm, cm, m, in")],
    "scale": Annotated[str | None, typer.Option("--scale", metavar="1:N", help="of the real thing, with its size")],
    "real_height_m": Annotated[float | None, typer.Option("--real-height-m", help="how tall the real thing is")],
    "real_length_m": Annotated[float | None, typer.Option("--real-length-m", help="how long the real thing is")],
    "real_width_m": Annotated[float | None, typer.Option("--real-width-m", help="how wide the real thing is")],
    "up": Annotated[str | None, typer.Option("--up", help="the mesh file's axis that points up: x, y, z, -x, ...")],
    "front": Annotated[str | None, typer.Option("--front", help="the mesh file's axis that the face looks along")],
    "kind": Annotated[str | None, typer.Option("--kind", help="figure, bust, vehicle, aircraft, ship or object")],
    "faces_deg": Annotated[float | None, typer.Option("--faces-deg", help="0 looks at the camera, + to camera right")],
}
Setup = Annotated[str, typer.Option("--setup", help="a setup's name or .toml, or as-placed")]
Setups = Annotated[list[str] | None, typer.Option("--setup", help="a setup's name or .toml; may be repeated")]
Finishes = Annotated[list[str] | None, typer.Option("--finish", help="a topcoat; may be repeated")]
Size = Annotated[str | None, typer.Option("--size", metavar="WxH", help="pixels of a frame")]
Detail = Annotated[str | None, typer.Option("--detail", metavar="PART", help="a close-up of the parts of that name")]
ExposureOption = Annotated[
    ExposureScope, typer.Option("--exposure", help="what has one exposure: a frame, a setup's finishes, or the sheet")
]
PrintOption = Annotated[PaperName | None, typer.Option("--paper", help="also as a PDF for a printer")]
Out = Annotated[Path, typer.Option("--out", help="folder to write to")]
Json = Annotated[bool, typer.Option("--json", help="print facts as JSON")]
QualityOption = Annotated[Quality, typer.Option("--quality")]
GoalQuality = Annotated[Quality | None, typer.Option("--quality", help="a goal by name; none: draft, or until --for")]
Grain = Annotated[str | None, typer.Option("--grain", metavar="1%", help="go on until no frame has more grain")]
For = Annotated[str | None, typer.Option("--for", metavar="6h", help="work for so long, as 30m, 6h or 1h30m")]
Until = Annotated[str | None, typer.Option("--until", metavar="07:00", help="work until then")]
ShareOption = Annotated[
    str | None, typer.Option("--share", metavar="I/N", help="which of so many runs on one cache this is, as 2/3")
]
ClusterOption = Annotated[
    str | None,
    typer.Option("--cluster", metavar="ADDRESS", help="a Dask scheduler, as tcp://HOST:PORT, or local:N"),
]


def takes_sizing(command: Callable[..., None]) -> Callable[..., None]:
    """Decorate a command so that it has the options of SIZING, and gets their values as `sizing`."""
    own = inspect.signature(command, eval_str=True)
    kept = [parameter for name, parameter in own.parameters.items() if name != "sizing"]
    added = [
        inspect.Parameter(name, inspect.Parameter.KEYWORD_ONLY, default=None, annotation=option)
        for name, option in SIZING.items()
    ]

    @wraps(command)
    def sized(**given: Any) -> None:
        sizing = {name: given.pop(name) for name in SIZING}
        command(**given, sizing=sizing)

    sized.__signature__ = own.replace(parameters=[*kept, *added])  # type: ignore[attr-defined]
    sized.__annotations__ = {parameter.name: parameter.annotation for parameter in (*kept, *added)}
    return sized


def pixels(size: str | None) -> tuple[int, int] | None:
    """Return width and height of a size such as `480x640`.

    Raises
    ------
    InputError
        For other text, or a side outside 16 to 8192 pixels.
    """
    if size is None:
        return None
    width, _, height = size.lower().partition("x")
    if not all(re.fullmatch("[0-9]{2,4}", side) and 16 <= int(side) <= 8192 for side in (width, height)):
        raise InputError(f"--size {size}: give width x height in pixels from 16 to 8192, as 480x640")
    return int(width), int(height)
