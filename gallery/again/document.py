"""The arrangement that a frame is written as: every lamp, card, camera and backdrop fixed as in the frame."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import Final

from gallery.files.toml_text import toml_key, toml_value
from render.frame import Frame
from scenes.arrangement.resolving import ResolvedArrangement
from scenes.setups.placed import AS_PLACED
from scenes.setups.placement_words.lamp import spot_words
from scenes.text import printable

from .pieces import Piece, Slot
from .tables import Table, backdrop_table, camera_table, card_tables, lamp_table, subject_table

CARE: Final = (
    "Lamps and bulbs run hot and batteries can burn: keep the distance to paper, cloth and plastic that the lamp's",
    "label asks for, follow the maker's instructions, and don't leave a lit lamp alone.",
)
LONGEST_TITLE: Final = 300


def again_pieces(arrangement: ResolvedArrangement, frame: Frame, options: str = "") -> tuple[Piece, ...]:
    """Return a frame as an arrangement in TOML, of which `spruelight proof as-placed` gives the same frame.

    Its file names are those of the arrangement, so it is to be saved in the same folder. Dimmers, colour temperatures,
    shutter and white balance are slots.

    Parameters
    ----------
    options
        Those that the frame is taken with beside its arrangement, for the command that the text names.
    """
    return tuple(_joined(_document(arrangement, frame, options)))


def _document(arrangement: ResolvedArrangement, frame: Frame, options: str) -> Iterator[Piece]:
    declared, setup = arrangement.declared, frame.setup
    title = declared.title or printable(arrangement.title, LONGEST_TITLE)
    yield from _comment(*_heading(arrangement, frame, options))
    yield from _keys({"format": 1, "title": title})
    if subject := subject_table(arrangement, frame):
        parts = subject.pop("parts")
        yield from _section("[subject]", subject)
        for part in parts:
            yield from _section("[[subject.parts]]", part)
    yield from _section("[camera]", camera_table(arrangement, frame))
    yield from _section("[backdrop]", backdrop_table(arrangement, frame))
    if room := declared.room.model_dump(exclude_unset=True):
        yield from _section("[room]", room)
    yield "\n"
    yield from _comment(*CARE)
    for number, lamp in enumerate(setup.lamps):
        yield from _section("[[lamps]]", lamp_table(lamp, number), spot_words(lamp))
    for table in card_tables(arrangement, setup):
        yield from _section("[[cards]]", table)
    for meter in declared.meters:
        yield from _section("[[meters]]", meter.model_dump(exclude_unset=True))


def _heading(arrangement: ResolvedArrangement, frame: Frame, options: str) -> list[str]:
    setup, finish = frame.setup, frame.shot.finish
    command = " ".join(["spruelight proof", AS_PLACED, "THIS-FILE", *([options] if options else [])])
    return [
        f"The same light again: {setup.name}, {finish}, of {arrangement.title}, by {arrangement.folder.source}.",
        f"Saved in the folder of the model's file, {command}  gives the same picture.",
        "Lengths in cm from the mark under the model's centre: camera right, away from the camera, up.",
    ]


def _comment(*lines: str) -> Iterator[str]:
    for line in lines:
        yield f"# {printable(line)}\n"


def _section(heading: str, table: Table, comment: str = "") -> Iterator[Piece]:
    yield f"\n{heading}\n"
    if comment:
        yield from _comment(comment)
    yield from _keys(table)


def _keys(table: Table) -> Iterator[Piece]:
    for key, value in table.items():
        yield f"{toml_key(key)} = "
        yield value if isinstance(value, Slot) else toml_value(value)
        yield "\n"


def _joined(pieces: Iterable[Piece]) -> Iterator[Piece]:
    """Yield pieces, text that follows text joined to it."""
    text = ""
    for piece in pieces:
        if isinstance(piece, str):
            text += piece
            continue
        yield text
        yield piece
        text = ""
    yield text
