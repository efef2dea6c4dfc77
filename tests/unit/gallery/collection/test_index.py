"""An index names and shows what there is, as text, from the folders beside it and from nowhere else."""

from __future__ import annotations

import json
from html.parser import HTMLParser
from pathlib import Path
from urllib.parse import unquote

import pytest

from gallery.collection.entry import Entry, State, entry_after, entry_before
from gallery.collection.index import counts_words, index_facts, index_html, require_own_index, write_index
from gallery.collection.member import Member
from gallery.collection.scanning import Collection
from gallery.collection.summary import write_small_pictures
from gallery.failure import FAILED, Failure
from scenes.errors import InputError
from scenes.setups.place_setup import LeftOut
from tests.support.sheets.made import write_made_sheet

STRANGE = "<b>Ø & \u202eorc</b>"


class Parts(HTMLParser):
    """The tags of a page and the addresses in it; what is read aloud."""

    def __init__(self, html: str) -> None:
        super().__init__()
        self.tags: list[str] = []
        self.addresses: list[str] = []
        self.text = ""
        self.feed(html)

    def handle_starttag(self, tag: str, attributes: list[tuple[str, str | None]]) -> None:
        self.tags.append(tag)
        self.addresses += [value or "" for name, value in attributes if name in ("src", "href")]

    def handle_data(self, data: str) -> None:
        self.text += " ".join(data.split()) + "\n"


def member(name: str) -> Member:
    return Member(Path(name), name, name.removesuffix(".toml"), name)


def collection(*entries: Entry, notes: tuple[str, ...] = ()) -> Collection:
    return Collection(Path("models"), tuple(entry.member for entry in entries), notes)


def made(out: Path, name: str = "orc.toml", **sheet: object) -> Entry:
    one = member(name)
    write_made_sheet(out / one.sheet, **sheet)  # type: ignore[arg-type]
    write_small_pictures(out / one.sheet)
    return entry_after(one, out, None)


def page(out: Path, *entries: Entry, notes: tuple[str, ...] = ()) -> Parts:
    return Parts(index_html(out, collection(*entries, notes=notes), entries))


def test_every_address_is_a_file_beside_it_or_a_place_in_it(tmp_path: Path) -> None:
    entries = (made(tmp_path, setups=("loop", "rim"), finishes=("gloss", "matt")), made(tmp_path, "elf.toml"))
    (tmp_path / "orc" / "page.html").touch()
    shown = page(tmp_path, *entries)
    inside = {address for address in shown.addresses if address.startswith("#")}
    assert inside == {"#main", "#sheet-1", "#sheet-2"}
    files = {unquote(address) for address in shown.addresses} - inside
    assert files == {
        "orc/page.html", "orc/sheet.png", "elf/sheet.png",
        "orc/frames/loop--gloss.png", "orc/frames/rim--gloss.png", "elf/frames/loop--as-built.png",
        "orc/small/loop--gloss.jpg", "orc/small/rim--gloss.jpg", "elf/small/loop--as-built.jpg",
    }  # fmt: skip
    assert all((tmp_path / name).is_file() for name in files)
    assert "script" not in shown.tags
    assert "each setup in gloss, matt" in shown.text


def test_names_and_sentences_stay_text(tmp_path: Path) -> None:
    failed = Entry(member(f"{STRANGE}.toml"), State.FAILED, None, Failure((f"{STRANGE}: is wrong",), FAILED))
    waiting = Entry(member("\x1b]0;.toml"), State.WAITING)
    shown = page(tmp_path, made(tmp_path, title="<i>Orc</i>"), failed, waiting, notes=(f"left alone: {STRANGE}",))
    assert not {"b", "i"} & set(shown.tags)
    assert "\u202e" not in shown.text
    assert "\x1b" not in shown.text
    assert "<i>Orc</i>" in shown.text
    assert shown.text.count(r"<b>Ø & \u202eorc</b>") == 3


def test_a_failure_has_its_sentences_and_the_sheet_that_it_had(tmp_path: Path) -> None:
    before = made(tmp_path)
    failed = entry_after(before.member, tmp_path, Failure(("one: is wrong", "two: is wrong"), FAILED))
    shown = page(tmp_path, failed)
    assert "one: is wrong\n" in shown.text
    assert "two: is wrong\n" in shown.text
    assert "orc/sheet.png" in shown.addresses
    assert "img" not in shown.tags


def test_what_is_left_out_is_said(tmp_path: Path) -> None:
    entry = made(tmp_path, left_out=(LeftOut("split", "has no room for its key"),))
    assert "split is left out: it has no room for its key" in page(tmp_path, entry).text


def test_facts_have_each_sheet_and_how_far_it_is(tmp_path: Path) -> None:
    orc = made(tmp_path, rounds=3, left_out=(LeftOut("split", "has no room"),))
    elf = Entry(member("elf.toml"), State.FAILED, None, Failure(("elf.toml: is wrong",), FAILED))
    facts = index_facts(collection(orc, elf, notes=("left alone",)), [orc, elf])
    assert facts == {
        "format": 1,
        "arrangements": [
            {
                "file": "orc.toml", "folder": "orc", "state": "made", "failure": [], "title": "Diver",
                "frames": [{"setup": "loop", "finish": "as-built", "grain_percent": None}],
                "left_out": [{"setup": "split", "why": "has no room"}], "rounds": 3,
            },
            {
                "file": "elf.toml", "folder": "elf", "state": "failed", "failure": ["elf.toml: is wrong"],
                "title": None, "frames": [], "left_out": [], "rounds": None,
            },
        ],
        "left_alone": ["left alone"],
    }  # fmt: skip
    json.dumps(facts)


def test_it_counts_sheets_by_how_far_they_are(tmp_path: Path) -> None:
    entries = [Entry(member(f"{i}.toml"), state) for i, state in enumerate((*State, State.MADE))]
    assert counts_words(entries) == "2 of 5 sheets made, 1 failed, 1 made earlier, 1 to come"
    assert counts_words(entries[:1]) == "1 of 1 sheet made"
    assert entry_before(member("new.toml"), tmp_path).state is State.WAITING


def test_the_index_of_somebody_else_is_not_written_over(tmp_path: Path) -> None:
    require_own_index(tmp_path)
    (tmp_path / "index.html").write_text("<p>my club</p>")
    for others in (None, "[]", '{"name": "my club"}', "{"):
        if others is not None:
            (tmp_path / "index.json").write_text(others)
        with pytest.raises(InputError, match=r"index\.html that is not spruelight's"):
            require_own_index(tmp_path)
    write_index(tmp_path, collection(), [])
    require_own_index(tmp_path)
