"""Lines that are not TOML, as careless hands write them, are shown with what would be right."""

from __future__ import annotations

import tomllib

import pytest

from scenes.arrangement.mistakes.toml_syntax import syntax_sentence


def sentence(line: str) -> str:
    text = f'title = "a"\n{line}\n'
    with pytest.raises(tomllib.TOMLDecodeError) as caught:
        tomllib.loads(text)
    return syntax_sentence(text, caught.value)


@pytest.mark.parametrize(
    ("line", "right"),
    [
        ("mesh = \u201ca.stl\u201d", 'quotes are straight, as in name = "desk panel"'),
        ("mesh = a.stl", 'text stands in quotes, as in name = "desk panel"'),
        ('mesh = "a.stl', 'text ends with its quote, as in name = "desk panel"'),
        ('mesh = "C:\\models\\a.stl"', "in quotes write / in place of \\, as meshes/hull.stl"),
        ('mesh: "a.stl"', "between key and value stands =, as height_cm = 18"),
        ("height_cm = 18,5", "decimals have a point, as 18.5"),
        ("height_cm = 18 cm", "a number stands alone, its unit is in the key, as height_cm = 18"),
        ("shutter_s = 1/60", 'a fraction stands in quotes, as "1/60"'),
        ("dimmable = False", "it is true or false, in small letters"),
        ("dimmable = no # never", "it is true or false, in small letters"),
        ("[camera", "a section ends with its bracket, as [subject]"),
        ("iso =", "after = stands a value"),
        ('title = "b"', "its key stands there twice: keep one"),
        ('{"subject": {}}', "an arrangement is written in TOML, as [subject] and its keys below it, each key = value"),
    ],
)
def test_a_line_that_is_not_toml_is_shown_with_what_would_be_right(line: str, right: str) -> None:
    assert sentence(line) == f"line 2 is not valid TOML: {line}: {right}"


def test_a_section_that_stands_there_twice_is_named() -> None:
    told = "[subject.wash] stands there twice: keep one and put all its keys below it"
    assert told in sentence("[subject.wash]\n[subject.wash]")


def test_where_the_text_ends_too_early_there_is_no_line_to_show() -> None:
    assert sentence("lamps = [").startswith("not valid TOML: ")
