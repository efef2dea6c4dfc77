"""Fields as they are written on the command line: a path, and values with their units."""

from __future__ import annotations

import pytest

from gallery.strip.field import Field, format_value, read_field
from scenes.errors import InputError


def test_a_field_is_a_path_and_values_as_numbers_or_words() -> None:
    assert read_field("lamps.key.kelvin=3000, 4500.5") == Field(
        "lamps.key.kelvin", ("lamps", "key", "kelvin"), (3000, 4500.5)
    )
    assert read_field("backdrop.reflectance=white paper,0.18").values == ("white paper", 0.18)
    assert read_field("lamps.key.dimmable=true,false").values == (True, False)
    assert read_field("finish=matt,20").steps == read_field("finish.gloss=5,20").steps == ("subject", "topcoat")


@pytest.mark.parametrize("text", ["finish", "finish=", "finish=matt", "=matt,gloss", "camera..iso=1,2"])
def test_a_field_without_a_path_or_with_fewer_than_two_values_is_told_how_to_write_it(text: str) -> None:
    with pytest.raises(InputError, match="write FIELD=VALUE,VALUE"):
        read_field(text)


def test_a_strip_takes_twelve_values_at_most() -> None:
    with pytest.raises(InputError, match="13 values: a strip takes 12 at most"):
        read_field("camera.iso=" + ",".join(str(100 + i) for i in range(13)))


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("finish=matt,20", ["matt", "20 GU"]), ("camera.f_number=8,11", ["f/8", "f/11"]),
        ("camera.shutter_s=0.5,0.01", ["0.5 s", "1/100 s"]), ("lamps.key.dimmer=1,0.25", ["100 %", "25 %"]),
        ("lamps.key.rise_deg=20,40", ["rise 20 degrees", "rise 40 degrees"]), ("room.lux=0,40", ["0 lx", "40 lx"]),
        ("backdrop.reflectance=white paper,0.18", ["reflectance white paper", "reflectance 0.18"]),
        ("subject.height_cm=10,12.5", ["height 10 cm", "height 12.5 cm"]),
    ],
)  # fmt: skip
def test_a_value_is_written_with_its_unit(text: str, words: list[str]) -> None:
    field = read_field(text)
    assert [format_value(field, value) for value in field.values] == words
