"""What is written in TOML reads back as it was."""

from __future__ import annotations

import math
import tomllib
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from gallery.files.toml_text import toml_key, toml_number, toml_value

TEXTS = st.text(st.characters(exclude_categories=["Cs"]))
VALUES = st.recursive(
    st.booleans() | st.integers(-(2**63), 2**63 - 1) | st.floats(allow_nan=False, allow_infinity=False) | TEXTS,
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(TEXTS, inner, max_size=3),
    max_leaves=6,
)


@given(key=TEXTS, value=VALUES)
def test_it_reads_back_as_it_was(key: str, value: Any) -> None:
    assert tomllib.loads(f"{toml_key(key)} = {toml_value(value)}") == {key: value}


@pytest.mark.parametrize(
    ("number", "text"), [(4000.0, "4000"), (0.1, "0.1"), (1 / 3, "0.3333333333333333"), (-0.0, "-0.0"), (1e-7, "1e-07")]
)
def test_a_number_has_the_digits_that_it_needs_and_no_more(number: float, text: str) -> None:
    assert toml_number(number) == text
    assert math.copysign(1, float(tomllib.loads(f"a = {text}")["a"])) == math.copysign(1, number)


def test_what_toml_does_not_know_is_refused() -> None:
    with pytest.raises(TypeError, match="NoneType"):
        toml_value(None)
