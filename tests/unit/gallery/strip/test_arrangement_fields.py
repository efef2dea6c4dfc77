"""A key of an arrangement is varied by its path."""

from __future__ import annotations

import pytest

from gallery.strip.arrangement_fields import vary
from gallery.strip.field import read_field
from tests.support.sheets.strips import arranged


@pytest.mark.parametrize(
    ("text", "key", "values"),
    [
        ("camera.f_number=4,8", "f_number", [4, 8]),
        ("camera.white_balance=3000,5000", "white_balance", [3000, 5000]),
    ],
)
def test_a_key_is_varied_by_its_path(text: str, key: str, values: list[float]) -> None:
    field = read_field(text)
    arrangement = arranged(camera={"kind": "camera"})
    assert [getattr(vary(arrangement, field, value).camera, key) for value in field.values] == values


def test_a_member_of_a_list_is_named_by_its_match_or_by_its_number() -> None:
    for path in ("subject.parts.*.gloss", "subject.parts.1.gloss"):
        field = read_field(f"{path}=5,50")
        subject = vary(arranged(), field, 50).subject
        assert subject is not None
        assert subject.parts[0].gloss == 50


def test_iso_and_shutter_are_checked_and_left_to_the_strip() -> None:
    assert vary(arranged(), read_field("camera.iso=50,100"), 100) == arranged()


def test_another_reflectance_takes_the_place_of_a_colour() -> None:
    arrangement = arranged(backdrop={"colour": "#24508c"})
    backdrop = vary(arrangement, read_field("backdrop.reflectance=0.1,0.5"), 0.5).backdrop
    assert (backdrop.reflectance, backdrop.colour) == (0.5, None)
