"""Every part has a line in the legend, and what does not fit is cut or grouped, never overlapping."""

from __future__ import annotations

import numpy as np
import pytest

from gallery.drawings.legend import TEXT_PX, Entry, draw_legend, fitted, grouped
from gallery.drawings.part_colours import COLOURS
from gallery.drawings.parts import MOST_LISTED, legend_entries, part_numbers
from gallery.sheet.layout import PAPER, font_for
from scenes.subject.from_meshes import subject_from_parts
from scenes.subject.subject import Subject
from tests.unit.scenes.setups.test_setup import box


def boxes(*names: str) -> Subject:
    return subject_from_parts("model", [box(name, (1, 1, 1), (2 * i, 0, 0)) for i, name in enumerate(names)])


def entries(model: Subject, numbered: set[int]) -> list[Entry]:
    count = len(model.parts)
    return legend_entries(model, "object", np.zeros(count, np.intp), [10 * (count - i) for i in range(count)], numbered)


def test_each_part_has_a_line_with_its_number_and_name() -> None:
    model = boxes("hull", "turret", "gun")
    found = entries(model, {0, 1})
    assert [(entry.number, entry.name) for entry in found] == [("1", "hull"), ("2", "turret"), ("3", "gun")]
    assert [entry.remark for entry in found] == ["", "", "small"]


def test_pieces_of_one_lump_keep_their_numbers_where_some_are_hidden() -> None:
    assert part_numbers(boxes("piece 1", "piece 4", "piece 9")) == [1, 4, 9]
    assert part_numbers(boxes("piece 1", "hull", "piece 9")) == [1, 2, 3]


def test_a_nameless_piece_says_where_it_is() -> None:
    assert entries(boxes("piece 1", "piece 2"), {0, 1})[1].remark == "full height, camera right"


def test_of_very_many_parts_the_rest_stand_in_groups() -> None:
    model = boxes(*(f"plate {i}" for i in range(MOST_LISTED)), *(f"rivet {i}" for i in range(36)), "hook")
    found = entries(model, set(range(MOST_LISTED)))
    assert len(found) == MOST_LISTED + 2
    assert [(entry.number, entry.name, entry.remark) for entry in found[-2:]] == [
        ("", "rivet*", "36 more, small"), ("", "hook", "1 more, small")
    ]  # fmt: skip


def test_names_that_begin_alike_are_one_group() -> None:
    assert grouped(["bolt_1", "bolt_2", "lamp"]) == [("bolt*", 2), ("lamp", 1)]


@pytest.mark.parametrize("name", ["a", "lamp", "a long name of a part", "x" * 200, "Ähre", "a\x1b[2J"])
@pytest.mark.parametrize("remark", ["", "abc", "steel", "a long remark on a part", "y" * 200])
@pytest.mark.parametrize("room", [30, 90, 250])
def test_a_name_and_its_remark_fit_their_room(name: str, remark: str, room: float) -> None:
    short, rest = fitted(name, remark, room)
    font = font_for(TEXT_PX, name + remark)
    assert font.getlength(short) + (8 + font.getlength(rest) if rest else 0) <= room
    assert short.isprintable()


def test_no_line_reaches_into_the_next_column() -> None:
    lines = [
        Entry(str(i), COLOURS[i % 7], f"part {i} of a long name that goes on", "polished steel") for i in range(12)
    ]
    picture = draw_legend(lines, 400, 2, 6)
    assert (picture[:, 192:200] == PAPER).all()
    assert (picture[:, 392:] == PAPER).all()
    assert not (picture[:, 200:240] == PAPER).all()
