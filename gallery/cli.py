"""The command line: parses, calls, prints."""

from __future__ import annotations

import json
import sys
from enum import StrEnum
from pathlib import Path
from typing import Annotated, Any

import typer

from scenes.errors import InputError

app = typer.Typer(
    help="See how lighting setups and finishes will look on your model before you move a lamp.",
    no_args_is_help=True, add_completion=False, pretty_exceptions_enable=False, rich_markup_mode=None,
)  # fmt: skip


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
Out = Annotated[Path, typer.Option("--out", help="folder to write to")]
Json = Annotated[bool, typer.Option("--json", help="print facts as JSON")]
How = Annotated[Quality, typer.Option("--quality")]


@app.command()
def sheet(
    file: File = None, setup: Setups = None, finish: Finishes = None, quality: How = Quality.draft,
    size: Size = None, out: Out = Path("sheet"), height_cm: Height = None, length_cm: Length = None,
    width_cm: Width = None, up: Up = None, front: Front = None, faces_deg: Faces = None, as_json: Json = False,
) -> None:  # fmt: skip
    """Make the contact sheet of the setups."""
    from .facts import tally_words
    from .sheet import write_sheet
    from .shooting import shots_of, take_with_progress

    opened = _open(file, height_cm, length_cm, width_cm, up, front, faces_deg)
    shots = shots_of(opened, setup or [], finish or [], _pixels(size))
    _writable(out)
    tracing = _tracing()
    frames = take_with_progress(shots, tracing, quality.value)
    write_sheet(out, opened.title, opened.measures, frames)
    print(tally_words(tracing.tally), file=sys.stderr)
    if as_json:
        print((out / "sheet.json").read_text(encoding="utf-8"), end="")
    else:
        print(out / "sheet.png")


@app.command()
def proof(
    setup: Annotated[str, typer.Argument(help="a setup's name or .toml")], file: File = None,
    finish: Annotated[str, typer.Option("--finish", help="a topcoat")] = "as-built", quality: How = Quality.draft,
    size: Size = None, out: Out = Path(), height_cm: Height = None, length_cm: Length = None,
    width_cm: Width = None, up: Up = None, front: Front = None, faces_deg: Faces = None, as_json: Json = False,
) -> None:  # fmt: skip
    """Take one quick frame of one setup."""
    from PIL import Image

    from .checking import setup_doubts, unmatched
    from .facts import exposure_words, frame_facts, placement_lines, reading_words
    from .sheet import frame_name, write_png
    from .shooting import shots_of, take_with_progress

    opened = _open(file, height_cm, length_cm, width_cm, up, front, faces_deg)
    shots = shots_of(opened, [setup], [finish], _pixels(size))
    _writable(out)
    (frame,) = take_with_progress(shots, _tracing(), quality.value)
    path = out / frame_name(frame)
    write_png(path, Image.fromarray(frame.rgb))
    if as_json:
        print(json.dumps(frame_facts(frame), indent=1))
        return
    print(path)
    doubts = dict.fromkeys([*unmatched(opened.arrangement, opened.subject), *setup_doubts(frame.setup)])
    for line in (*placement_lines(frame), exposure_words(frame), *reading_words(frame), *doubts):
        print(line)


@app.command()
def meter(
    file: File = None, setup: Annotated[str | None, typer.Option("--setup")] = None, height_cm: Height = None,
    length_cm: Length = None, width_cm: Width = None, up: Up = None, front: Front = None, faces_deg: Faces = None,
    as_json: Json = False,
) -> None:  # fmt: skip
    """Measure the light at the arrangement's meters, in lux."""
    from .meters import meter_facts, meter_lines

    opened = _open(file, height_cm, length_cm, width_cm, up, front, faces_deg)
    facts = meter_facts(opened, setup, _tracing())
    print(json.dumps(facts, indent=1) if as_json else "\n".join(meter_lines(facts)))


@app.command()
def new(
    mesh: Annotated[Path, typer.Argument(help="your mesh: STL, OBJ, PLY, GLB, glTF, 3MF, OFF")],
    out: Annotated[Path | None, typer.Option("--out", help="the arrangement to write; else beside the mesh")] = None,
    height_cm: Height = None, length_cm: Length = None, width_cm: Width = None, up: Up = None, front: Front = None,
    faces_deg: Faces = None,
) -> None:  # fmt: skip
    """Write a commented arrangement for a mesh, and three views that show which way it faces."""
    from .starting import start_arrangement

    sizing = _sizing(height_cm, length_cm, width_cm, up, front, faces_deg)
    for path in start_arrangement(mesh, out, sizing):
        print(path)


@app.command()
def check(
    file: File = None, height_cm: Height = None, length_cm: Length = None, width_cm: Width = None, up: Up = None,
    front: Front = None, faces_deg: Faces = None, as_json: Json = False,
) -> None:  # fmt: skip
    """Say what is wrong or unwise with an arrangement or a mesh."""
    from .checking import check_facts, check_lines

    facts = check_facts(_open(file, height_cm, length_cm, width_cm, up, front, faces_deg))
    print(json.dumps(facts, indent=1) if as_json else "\n".join(check_lines(facts)))


@app.command("list")
def list_(what: Listable, as_json: Json = False) -> None:
    """List setups, finishes, lamps or cameras."""
    from .listing import listed

    facts = listed(what.value)
    print(json.dumps(facts, indent=1) if as_json else "\n".join(f"{name:16} {said}" for name, said in facts.items()))


@app.command()
def schema() -> None:
    """Print the JSON Schema of the arrangement file, for editors that complete it."""
    from scenes.arrangement import Arrangement

    print(json.dumps(Arrangement.model_json_schema(), indent=1))


@app.command()
def doctor(as_json: Json = False) -> None:
    """Print versions and backends, and what to do about each that is missing."""
    from .doctor import examine

    facts = examine()
    print(json.dumps(facts, indent=1) if as_json else "\n".join(f"{name:14} {said}" for name, said in facts.items()))


def main() -> None:
    """Run the command line: 0 done, 1 failed while working, 2 the input was wrong."""
    try:
        app(standalone_mode=True)
    except InputError as error:
        print(f"spruelight: {error}", file=sys.stderr)
        sys.exit(2)
    except (OSError, RuntimeError) as error:
        print(f"spruelight: {error}", file=sys.stderr)
        sys.exit(1)


def _sizing(
    height_cm: float | None, length_cm: float | None, width_cm: float | None, up: str | None, front: str | None,
    faces_deg: float | None,
) -> dict[str, Any]:  # fmt: skip
    return {
        "height_cm": height_cm, "length_cm": length_cm, "width_cm": width_cm,
        "up": up, "front": front, "faces_deg": faces_deg,
    }  # fmt: skip


def _open(file: Path | None, *sizing: Any) -> Any:
    from .inputs import open_input

    return open_input(file, _sizing(*sizing))


def _tracing() -> Any:
    from render.store import Store
    from render.tracing import Tracing

    return Tracing(Store())


def _pixels(size: str | None) -> tuple[int, int] | None:
    if size is None:
        return None
    width, _, height = size.lower().partition("x")
    if not (width.isdecimal() and height.isdecimal() and 16 <= int(width) <= 8192 and 16 <= int(height) <= 8192):
        raise InputError(f"--size {size}: give width x height in pixels from 16 to 8192, as 480x640")
    return int(width), int(height)


def _writable(folder: Path) -> None:
    """Refuse a folder that cannot be written to before anything is traced."""
    import tempfile

    try:
        folder.mkdir(parents=True, exist_ok=True)
        with tempfile.TemporaryFile(dir=folder):
            pass
    except OSError as error:
        reason = (error.strerror or "unknown").lower()
        raise InputError(f"--out {folder}: cannot be written to ({reason}); name another folder") from None


if __name__ == "__main__":
    main()
