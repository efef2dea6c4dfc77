"""The command line: parses, calls, prints."""

from __future__ import annotations

import errno
import json
import sys
from functools import partial
from pathlib import Path
from typing import Annotated

import typer

from gallery.commands.ask import ask
from scenes.errors import InputError

from .options import (
    Detail,
    File,
    Finishes,
    How,
    Json,
    Listable,
    Out,
    Quality,
    Setup,
    Setups,
    Size,
    Sizing,
    open_file,
    pixels,
    sized,
    start_tracing,
)  # fmt: skip
from .terminal import answer, remark, say, write_any_text

app = typer.Typer(
    help="See how lighting setups and finishes will look on your model before you move a lamp.",
    no_args_is_help=True, add_completion=False, pretty_exceptions_enable=False, rich_markup_mode=None,
)  # fmt: skip
app.add_typer(ask, name="ask")

ODD_NAMES = (errno.ENAMETOOLONG, errno.ELOOP)
"""Errors of the system that are those of who named the file."""


def _print_version(asked: bool) -> None:
    if asked:
        from importlib.metadata import version

        say(f"spruelight {version('spruelight')}")
        raise typer.Exit


@app.callback()
def _before(
    _version: Annotated[
        bool, typer.Option("--version", callback=_print_version, is_eager=True, help="print the version")
    ] = False,
) -> None:
    """Take what comes before a command."""


@app.command()
@sized
def sheet(
    file: File = None, setup: Setups = None, finish: Finishes = None, quality: How = Quality.draft,
    size: Size = None, detail: Detail = None, out: Out = Path("sheet"), as_json: Json = False, *, sizing: Sizing,
) -> None:  # fmt: skip
    """Make the contact sheet of the setups; of several finishes, a row for each setup and a column for each finish."""
    from gallery.captions.frame import tally_words
    from gallery.frames.shots import locked_by_setup, shots_of, take_with_progress
    from gallery.sheet.contact_sheet import write_sheet

    from .inputs import measures

    arrangement = open_file(file, sizing)
    shots = shots_of(arrangement, setup or [], finish or [], pixels(size), detail)
    _writable(out)
    tracing = start_tracing()
    lock = partial(locked_by_setup, shots) if len(finish or []) > 1 else None
    frames = take_with_progress(shots, tracing, quality.value, lock)
    write_sheet(out, arrangement.title, measures(arrangement), frames)
    remark(tally_words(tracing.tally))
    _print_written(out / "sheet.png", as_json)


@app.command()
@sized
def proof(
    setup: Annotated[str, typer.Argument(help="a setup's name or .toml")], file: File = None,
    finish: Annotated[str, typer.Option("--finish", help="a topcoat")] = "as-built", quality: How = Quality.draft,
    size: Size = None, detail: Detail = None, out: Out = Path(), as_json: Json = False, *, sizing: Sizing,
) -> None:  # fmt: skip
    """Take one quick frame of one setup."""
    from gallery.captions.frame import exposure_words, frame_facts, placement_lines, reading_words, shine_words
    from gallery.checks.arrangement import setup_doubts, unmatched
    from gallery.files.pictures import write_picture
    from gallery.frames.close_up import detail_facts, detail_words
    from gallery.frames.shots import shots_of, take_with_progress
    from gallery.sheet.contact_sheet import frame_name

    arrangement = open_file(file, sizing)
    shots = shots_of(arrangement, [setup], [finish], pixels(size), detail)
    _writable(out)
    (frame,) = take_with_progress(shots, start_tracing(), quality.value)
    path = out / frame_name(frame)
    write_picture(path, frame.rgb)
    if as_json:
        print(json.dumps(frame_facts(frame), indent=1))
        return
    say(str(path))
    doubts = dict.fromkeys([*unmatched(arrangement), *setup_doubts(frame.setup)])
    said = (*placement_lines(frame), exposure_words(frame), *reading_words(frame), *shine_words(frame))
    said += tuple(detail_words(detail_facts(frame)))
    say(*said, *doubts)


@app.command()
@sized
def strip(
    field: Annotated[str, typer.Argument(metavar="FIELD=V1,V2,...", help="what is varied, as finish=matt,satin,gloss")],
    setup: Setup, file: File = None, detail: Detail = None, quality: How = Quality.draft, size: Size = None,
    out: Out = Path("strip"), as_json: Json = False, *, sizing: Sizing,
) -> None:  # fmt: skip
    """Make a test strip: one quantity at several values side by side, all else locked."""
    from gallery.captions.frame import exposure_words, reading_words, shine_words, tally_words
    from gallery.frames.close_up import detail_facts, detail_words
    from gallery.strip.field import read_field
    from gallery.strip.strip import heading, take_strip, write_strip
    from gallery.strip.variation import Asked, strip_of

    from .inputs import measures

    wanted = read_field(field)
    arrangement = open_file(file, sizing)
    shots = strip_of(Asked(arrangement, setup, pixels(size), detail), wanted)
    _writable(out)
    tracing = start_tracing()
    frames = take_strip(shots, tracing, quality.value)
    write_strip(out, arrangement.title, measures(arrangement), wanted, frames)
    remark(tally_words(tracing.tally))
    _print_written(out / "strip.png", as_json)
    for value, frame in [] if as_json else zip(wanted.values, frames, strict=True):
        said = (exposure_words(frame), *reading_words(frame), *shine_words(frame))
        said += tuple(detail_words(detail_facts(frame)))
        say(f"{heading(wanted, value)}: {'; '.join(said)}")


@app.command()
@sized
def meter(
    file: File = None, setup: Annotated[str | None, typer.Option("--setup")] = None, as_json: Json = False, *,
    sizing: Sizing,
) -> None:  # fmt: skip
    """Measure the light at the arrangement's meters, in lux."""
    from gallery.answers.meter import meter_facts, meter_lines

    arrangement = open_file(file, sizing)
    answer(meter_facts(arrangement, setup, start_tracing()), meter_lines, as_json)


@app.command()
@sized
def new(
    mesh: Annotated[Path, typer.Argument(help="your mesh: STL, OBJ, PLY, GLB, glTF, 3MF, OFF")],
    out: Annotated[Path | None, typer.Option("--out", help="the arrangement to write; else beside the mesh")] = None,
    *, sizing: Sizing,
) -> None:  # fmt: skip
    """Write a commented arrangement for a mesh, and three views that show which way it faces."""
    from gallery.starter.starter import start_arrangement

    say(*map(str, start_arrangement(mesh, out, sizing)))


@app.command()
@sized
def check(file: File = None, as_json: Json = False, *, sizing: Sizing) -> None:
    """Say what is wrong or unwise with an arrangement or a mesh."""
    from gallery.checks.arrangement import check_facts, check_lines

    answer(check_facts(open_file(file, sizing)), check_lines, as_json)


@app.command("list")
def list_(what: Listable, as_json: Json = False) -> None:
    """List setups, finishes, metals, lamps or cameras."""
    from gallery.answers.catalogue import listed

    answer(listed(what.value), lambda facts: [f"{name:16} {said}" for name, said in facts.items()], as_json)


@app.command()
def schema() -> None:
    """Print the JSON Schema of the arrangement file, for editors that complete it."""
    from scenes.arrangement.arrangement import Arrangement

    print(json.dumps(Arrangement.model_json_schema(), indent=1))


@app.command()
def doctor(as_json: Json = False) -> None:
    """Print versions and backends, and what to do about each that is missing."""
    from gallery.answers.installation import examine

    answer(examine(), lambda facts: [f"{name:14} {said}" for name, said in facts.items()], as_json)


def main() -> None:
    """Run the command line: 0 done, 1 failed while working, 2 the input was wrong."""
    write_any_text()
    try:
        app(windows_expand_args=False)  # a wildcard is of parts: no file of that name stands in for it
    except InputError as error:
        remark(f"spruelight: {error}")
        sys.exit(2)
    except (OSError, RuntimeError) as error:
        if isinstance(error, OSError) and error.errno in ODD_NAMES:
            remark(f"spruelight: {error.filename}: no file can be called so ({error.strerror}); name another")
            sys.exit(2)
        remark(f"spruelight: {error}")
        sys.exit(1)


def _print_written(picture: Path, as_json: bool) -> None:
    """Print where a picture was written, or the facts that lie beside it."""
    if as_json:
        print(picture.with_suffix(".json").read_text(encoding="utf-8"), end="")
    else:
        say(str(picture))


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
