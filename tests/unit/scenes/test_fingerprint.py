"""A fingerprint tells values apart that are not the same, and none that are."""

from __future__ import annotations

import numpy as np
import pytest

from scenes.fingerprint import fingerprint


@pytest.mark.parametrize(
    ("one", "other"),
    [
        ((1, 2), (12,)),
        ((1, (2, 3)), (1, 2, 3)),
        (("ab", "c"), ("a", "bc")),
        (1, 1.0),
        (1, "1"),
        (None, "None"),
        (True, 1),
        (np.zeros(4), np.zeros((2, 2))),
        (np.zeros(2, np.float32), np.zeros(1, np.float64)),
    ],
)
def test_values_that_only_look_alike_have_different_fingerprints(one: object, other: object) -> None:
    assert fingerprint(one) != fingerprint(other)


def test_an_array_has_one_fingerprint_however_it_lies_in_memory() -> None:
    array = np.arange(12.0).reshape(3, 4)
    assert fingerprint(array) == fingerprint(np.asfortranarray(array)) == fingerprint(np.repeat(array, 2, axis=0)[::2])
