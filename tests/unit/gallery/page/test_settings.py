"""Readings and settings as labelled values."""

from __future__ import annotations

from dataclasses import fields

from gallery.page.settings import reading_rows, setting_lines
from render.readings.metering import Readings


def test_every_reading_has_a_row_and_one_without_a_value_a_dash() -> None:
    names = [field.name for field in fields(Readings)]
    rows = reading_rows(dict.fromkeys(names))
    assert len({label for label, _ in rows}) == len(names)
    assert {value for _, value in rows} == {"–"}


def test_stops_of_the_backdrop_are_over_or_under_the_model() -> None:
    nothing: dict[str, float | None] = {field.name: None for field in fields(Readings)}
    assert dict(reading_rows(nothing | {"backdrop_stops": -1.26}))["backdrop, beside the model"] == "1.3 stops under"
    assert dict(reading_rows(nothing | {"backdrop_stops": 0.5}))["backdrop, beside the model"] == "0.5 stops over"


def test_coloured_light_has_no_kelvin() -> None:
    camera = {"shutter_s": 0.5, "f_number": 8.0, "iso": 100, "white_balance_kelvin": None}
    assert setting_lines(camera) == ["0.5 s", "f/8", "ISO 100", "white balance by the light: it is coloured"]
