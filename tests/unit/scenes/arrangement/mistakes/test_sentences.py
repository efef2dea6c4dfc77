"""All mistakes of a file at once, each with its lamp, card or part, and with what was meant."""

from __future__ import annotations

from typing import Any

import pytest

from scenes.arrangement.arrangement import Arrangement
from scenes.arrangement.mistakes.sentences import MOST_ERRORS
from scenes.arrangement.reading import fill_model
from scenes.errors import InputError

LAMP = {"name": "desk panel", "size_cm": [20, 14]}


def refusals(data: dict[str, Any]) -> list[str]:
    """Return the sentences on an arrangement, without the name of its file."""
    with pytest.raises(InputError) as caught:
        fill_model(data, Arrangement, "a.toml")
    assert all(sentence.startswith("a.toml: ") for sentence in caught.value.sentences)
    return [sentence.removeprefix("a.toml: ") for sentence in caught.value.sentences]


def test_all_mistakes_are_said_at_once_each_with_its_lamp_card_or_part() -> None:
    data = {
        "subject": {"mesh": "a.stl", "heigth_cm": 18, "parts": [{}, {"match": "helmet*", "gloss": 500}]},
        "camera": {"f_number": "f/8", "sensor_mm": [5]},
        "lamps": [LAMP, {**LAMP, "name": "clip lamp", "lumens": -5, "kelvin": "warm"}],
        "cards": [{"name": "flag", "size_cm": "A9"}, {"size_cm": [1, 2, 3]}],
    }
    assert refusals(data) == [
        'subject.parts[2] "helmet*": gloss = 500: should be 89 or less',
        "unknown key 'subject.heigth_cm' (did you mean 'height_cm'?)",
        "camera.sensor_mm = [5]: should have 2 numbers, not 1",
        'camera.f_number = "f/8": should be a number, as 8',
        'lamps[2] "clip lamp": lumens = -5: should be greater than 0',
        'lamps[2] "clip lamp": kelvin = "warm": should be a number',
        "cards[1] \"flag\": size_cm: no paper size is called 'A9' (there are: A0, A1, A2, A3, A4, A5, legal, letter, "
        "tabloid); or [width, height] in cm",
        "cards[2].size_cm = [1, 2, 3]: should have 2 numbers, not 3",
    ]  # fmt: skip


def test_the_alternatives_of_one_value_are_one_sentence() -> None:
    assert refusals({"camera": {"focal_mm": [24, "long"]}}) == ['camera.focal_mm[2] = "long": should be a number']
    assert len(refusals({"subject": {"mesh": 3}})) == 1


def test_a_list_is_not_said_to_be_short_whose_member_is_wrong() -> None:
    assert refusals({"lamps": [{**LAMP, "lumens": -1}]}) == [
        'lamps[1] "desk panel": lumens = -1: should be greater than 0'
    ]


def test_more_mistakes_than_one_reads_are_counted() -> None:
    found = refusals({f"key{i}": 1 for i in range(MOST_ERRORS + 7)})
    assert len(found) == MOST_ERRORS + 1
    assert found[-1] == "and 7 more mistakes"


@pytest.mark.parametrize(
    ("data", "told"),
    [
        ({"camera": {"aperture": 8}}, "unknown key 'camera.aperture' (did you mean 'f_number'?)"),
        (
            {"subject": {"mesh": "a", "parts": [{"color": "#fff"}]}},
            "unknown key 'subject.parts[1].color' (did you mean 'base'?)",
        ),
        ({"lights": []}, "unknown key 'lights' (did you mean 'lamps'?)"),
        ({"mesh": "a.stl"}, "unknown key 'mesh': mesh belongs under [subject]"),
        ({"lumens": 800}, "unknown key 'lumens': lumens belongs under [[lamps]]"),
        ({"height_cm": 18}, "unknown key 'height_cm': height_cm belongs under [subject], [subject.plinth] or [camera]"),
        (
            {"subject": {"mesh": "a", "parts": [{"topcoat": "matt"}]}},
            "unknown key 'subject.parts[1].topcoat': topcoat belongs under [subject]",
        ),
    ],
)  # fmt: skip
def test_another_word_for_a_key_is_understood_and_one_in_another_section_shown_its_place(
    data: dict[str, Any], told: str
) -> None:
    assert refusals(data) == [told]


@pytest.mark.parametrize(
    ("key", "value", "told"),
    [
        ("kelvin", "4000K", "a number, as 4000"), ("lumens", "800 lm", "a number, as 800"),
        ("lumens", "1.000,5", "a number"), ("beam_deg", "40\u00b0", "a number, as 40"),
        ("dimmer", "50 %", "a number, as 0.5"),
        ("dimmer", 50, "1 or less, as 0.5 for 50 %"), ("dimmer", 1.5, "1 or less"),
        ("at_cm", "10,20,30", "a list in square brackets, as [10, 20, 30]"),
        ("kind", "softbox", "'panel', 'disc', 'ring' or 'bulb' (did you mean 'panel'?)"),
    ],
)  # fmt: skip
def test_a_value_is_shown_as_it_should_be_written(key: str, value: Any, told: str) -> None:
    (sentence,) = refusals({"lamps": [{**LAMP, key: value}]})
    assert sentence.endswith(f": should be {told}")


@pytest.mark.parametrize(
    ("word", "kind"), [("airplane", "aircraft"), ("tank", "vehicle"), ("boat", "ship"), ("figurine", "figure")]
)
def test_a_kind_is_found_by_what_is_one_of_it(word: str, kind: str) -> None:
    (sentence,) = refusals({"subject": {"mesh": "a.stl", "kind": word}})
    assert sentence.endswith(f"(did you mean '{kind}'?)")
