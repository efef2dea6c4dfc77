"""The index of a collection's sheets: index.html for a person, index.json for a program."""

from __future__ import annotations

import json
from collections import Counter
from collections.abc import Sequence
from dataclasses import asdict
from pathlib import Path
from typing import Any, Final

from gallery.files.facts import write_facts
from gallery.files.templates import templates_in
from gallery.page.page import ASSETS as PAGE_ASSETS
from render.images.store.atomic_file import write_atomically
from scenes.errors import InputError
from scenes.files import resolved_path
from scenes.text import counted, printable

from .entry import Entry, State
from .scanning import Collection
from .summary import SMALL_PX

FORMAT: Final = 1
"""Version of index.json's layout."""
FACTS, PAGE = "index.json", "index.html"
ASSETS: Final = Path(__file__).parent / "assets"
STYLES: Final = (PAGE_ASSETS / "styles/colours.css", PAGE_ASSETS / "styles/page.css", ASSETS / "index.css")
FORMS: Final = {"page.html": "Page to compare and relight", "sheet.png": "Contact sheet", "sheet.pdf": "On paper"}
"""What a sheet's folder may have of it, the one to open first."""


def write_index(out: Path, collection: Collection, entries: Sequence[Entry]) -> None:
    """Write both files of the index, each whole or not at all.

    Raises
    ------
    OSError
        Where they cannot be written.
    """
    html = index_html(out, collection, entries).encode()
    write_atomically(out / PAGE, lambda file: file.write(html))
    write_facts(out / FACTS, index_facts(collection, entries))


def require_own_index(out: Path) -> None:
    """Refuse a folder whose index.html is somebody else's.

    Raises
    ------
    InputError
        Where an index.html is there without its index.json.
    """
    try:
        is_ours = json.loads((out / FACTS).read_bytes()).keys() >= {"format", "arrangements"}
    except (OSError, ValueError, AttributeError):
        is_ours = False
    if (out / PAGE).exists() and not is_ours:
        raise InputError(f"--out {out}: has an {PAGE} that is not spruelight's; name another folder")


def index_facts(collection: Collection, entries: Sequence[Entry]) -> dict[str, Any]:
    """Return an index as plain data; a file is named from the collection's folder, a sheet's folder from the index."""
    return {
        "format": FORMAT,
        "arrangements": [_entry_facts(entry) for entry in entries],
        "left_alone": list(collection.notes),
    }


def index_html(out: Path, collection: Collection, entries: Sequence[Entry]) -> str:
    """Return the index as a page, whose pictures lie in the folders beside it."""
    from markupsafe import Markup

    environment = templates_in(ASSETS)
    environment.filters["printable"] = printable
    return environment.get_template("index.html").render(
        style=Markup("".join(path.read_text(encoding="utf-8") for path in STYLES)),  # our own files
        title=resolved_path(collection.folder).name or str(collection.folder),
        counts=counts_words(entries),
        failed=[entry for entry in entries if entry.state is State.FAILED],
        shown=[entry for entry in entries if entry.sheet and entry.state is not State.FAILED],
        waiting=[entry for entry in entries if entry.state is State.WAITING],
        forms={entry.member.sheet: _forms(out / entry.member.sheet) for entry in entries},
        notes=collection.notes,
        small_px=SMALL_PX,
    )


def counts_words(entries: Sequence[Entry]) -> str:
    """Return how many sheets there are in each state: `8 of 10 sheets made, 1 failed, 1 to come`."""
    numbers = Counter(entry.state for entry in entries)
    others = [state for state in (State.FAILED, State.EARLIER, State.WAITING) if numbers[state]]
    sheets = counted(len(entries), "sheet")
    return ", ".join([f"{numbers[State.MADE]} of {sheets} made", *(f"{numbers[state]} {state}" for state in others)])


def _entry_facts(entry: Entry) -> dict[str, Any]:
    sheet = entry.sheet
    return {
        "file": entry.member.name,
        "folder": entry.member.sheet,
        "state": entry.state.value,
        "failure": list(entry.failure.sentences) if entry.failure else [],
        "title": sheet and sheet.title,
        "frames": [
            {"setup": frame.setup, "finish": frame.finish, "grain_percent": frame.grain_percent}
            for frame in (sheet.frames if sheet else ())
        ],
        "left_out": [asdict(setup) for setup in sheet.left_out] if sheet else [],
        "rounds": sheet and sheet.rounds,
    }


def _forms(folder: Path) -> dict[str, str]:
    """Return the files of a sheet that there are, and what each is."""
    return {name: words for name, words in FORMS.items() if (folder / name).exists()}
