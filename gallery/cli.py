"""The command line: builds the program from its commands, runs it, turns errors into exit statuses."""

from __future__ import annotations

import sys
from typing import Annotated

import typer

from gallery.commands.ask import ask
from gallery.commands.check import check
from gallery.commands.diagram import diagram
from gallery.commands.export import export
from gallery.commands.meter import meter
from gallery.commands.new import new
from gallery.commands.page import page
from gallery.commands.program.cache import cache
from gallery.commands.program.doctor import doctor
from gallery.commands.program.listing import list_
from gallery.commands.program.schema import schema
from gallery.commands.proof import proof
from gallery.commands.sheet import sheet
from gallery.commands.strip import strip
from gallery.commands.writeup import writeup

from .failure import failure_of
from .terminal import escape_unencodable, print_lines, print_note

app = typer.Typer(
    help="See how lighting setups and finishes will look on your model before you move a lamp.",
    no_args_is_help=True, add_completion=False, pretty_exceptions_enable=False, rich_markup_mode=None,
)  # fmt: skip
for command in (sheet, proof, strip, diagram, page, writeup, export, meter, new, check):
    app.command()(command)
app.command("list")(list_)
for command in (schema, doctor, cache):
    app.command()(command)
app.add_typer(ask, name="ask")


def _print_version(wanted: bool) -> None:
    if wanted:
        from importlib.metadata import version

        print_lines(f"spruelight {version('spruelight')}")
        raise typer.Exit


@app.callback()
def _options(
    _version: Annotated[
        bool, typer.Option("--version", callback=_print_version, is_eager=True, help="print the version")
    ] = False,
) -> None:
    """Take the options that stand before a command."""


def main() -> None:
    """Run the command line: 0 done, 1 failed while working, 2 the input was wrong."""
    escape_unencodable()
    try:
        app(windows_expand_args=False)  # a wildcard names parts: no file that fits it stands in for it
    except Exception as error:
        failure = failure_of(error)
        if failure is None:
            raise
        for sentence in failure.sentences:
            print_note(f"spruelight: {sentence}")
        sys.exit(failure.status)


if __name__ == "__main__":
    main()
