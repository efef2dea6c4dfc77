"""How large a model is: by one size, by a scale of the real thing, or by the unit of its file."""

from __future__ import annotations

import numpy as np
import pytest

from scenes.arrangement.sizing_model import Sizing
from scenes.errors import InputError
from scenes.subject.sizing import cm_per_file_unit

EXTENTS = np.array([2.0, 10.0, 4.0])  # width, length, height in the file's unit


def cm(sizing: Sizing, unit: str | None = None) -> tuple[float, ...]:
    """Return width, length and height in cm."""
    factor, _ = cm_per_file_unit("a.stl", unit, sizing, EXTENTS)
    return tuple(factor * EXTENTS)


@pytest.mark.parametrize(
    ("sizing", "unit", "size"),
    [
        (Sizing(scale="1:144", real_length_m=72.0), None, (10, 50, 20)),
        (Sizing(scale="1:35", real_height_m=1.75), None, (2.5, 12.5, 5)),
        (Sizing(scale="1:72", real_width_m=1.44), None, (2, 10, 4)),
        (Sizing(scale="1:144", unit="m"), None, (200 / 144, 1000 / 144, 400 / 144)),
        (Sizing(scale="1:2.5", unit="in"), "m", (2 * 2.54 / 2.5, 10 * 2.54 / 2.5, 4 * 2.54 / 2.5)),
        (Sizing(scale="1:35", length_cm=20), None, (4, 20, 8)),
    ],
)
def test_a_scale_of_a_real_size_or_of_a_file_in_real_size_says_the_size(
    sizing: Sizing, unit: str | None, size: tuple[float, ...]
) -> None:
    assert cm(sizing, unit) == pytest.approx(size)


def test_a_real_size_beside_a_unit_that_disagrees_is_told() -> None:
    sizing = Sizing(scale="1:10", real_length_m=10.0, unit="m")
    assert cm_per_file_unit("a.stl", None, sizing, EXTENTS)[1] == []
    sizing = Sizing(scale="1:10", real_length_m=5.0, unit="m")
    assert cm_per_file_unit("a.stl", None, sizing, EXTENTS)[1] == [
        'real_length_m = 5 was used: with unit = "m" it would be 100 cm'
    ]


@pytest.mark.parametrize(
    ("sizing", "told"),
    [
        (Sizing(real_height_m=3), 'real_height_m is the size of the real thing: give scale = "1:35" beside it'),
        (
            Sizing(scale="1:35", real_height_m=3, height_cm=9),
            "the subject has two sizes, height_cm = 9 and real_height_m = 3: keep one, the other follows from the mesh",
        ),
        (
            Sizing(scale="1:35", real_height_m=3, real_length_m=4),
            "the subject has two sizes, real_length_m = 4 and real_height_m = 3: "
            "keep one, the other follows from the mesh",
        ),
        (
            Sizing(scale="1:35"),
            'scale = "1:35" alone says no size: give one of the real thing, as --real-length-m 6.7, or, of a file as '
            "large as the real thing, its unit, as --unit m; in an arrangement real_length_m = 6.7 or "
            'unit = "m" under [subject]',
        ),
    ],
)
def test_a_scale_that_says_no_size_or_two_is_refused_whatever_unit_the_file_states(sizing: Sizing, told: str) -> None:
    for unit in (None, "m"):
        with pytest.raises(InputError) as caught:
            cm(sizing, unit)
        assert str(caught.value) == told


def test_a_scale_that_makes_it_too_large_for_a_table_is_told_with_what_was_said() -> None:
    with pytest.raises(InputError, match=r'would be 500 cm large with unit = "m" and scale = "1:2", where 0.5 to 300'):
        cm(Sizing(scale="1:2", unit="m"))
    with pytest.raises(InputError, match=r"would be 1000 cm large with real_length_m = 10 and scale"):
        cm(Sizing(scale="1:1", real_length_m=10))
