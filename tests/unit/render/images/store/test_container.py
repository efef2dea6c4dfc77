"""Arrays in a file: read exactly as written, or refused, whatever the damage."""

from __future__ import annotations

import os
import re
from collections.abc import Iterator
from io import BytesIO
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from hypothesis.extra import numpy as arrays_of
from numpy.typing import NDArray

from render.images.store.container import MAGIC, ArraySpec, DamagedError, open_regular, read_arrays, write_arrays

SUMS = np.linspace(-1, 1, 24, dtype=np.float32).reshape(2, 3, 4)
ARRAYS: dict[str, NDArray[Any]] = {"sums": SUMS, "passes": np.array(7)}
SPECS = {"sums": ArraySpec("float32", (2, 3, 4)), "passes": ArraySpec("int64", ())}
PASSES = {"passes": SPECS["passes"]}


def written(arrays: dict[str, NDArray[Any]]) -> bytes:
    """Return the bytes of a file of arrays under the key `a`."""
    file = BytesIO()
    write_arrays(file, "a", arrays)
    return file.getvalue()


def read(data: bytes, specs: dict[str, ArraySpec], key: str = "a") -> dict[str, NDArray[Any]]:
    return read_arrays(BytesIO(data), key, specs)


WHOLE = written(ARRAYS)


def same(found: dict[str, NDArray[Any]], expected: dict[str, NDArray[Any]]) -> bool:
    """Return whether arrays have the names, types, shapes and bytes of others."""
    return {n: (a.dtype, a.shape, a.tobytes()) for n, a in found.items()} == {
        n: (a.dtype, a.shape, a.tobytes()) for n, a in expected.items()
    }


def test_what_is_written_is_read() -> None:
    assert same(read(WHOLE, SPECS), ARRAYS)


@given(arrays_of.arrays(
    st.sampled_from([np.float32, np.float64, np.int64, np.uint8, np.bool_]),
    arrays_of.array_shapes(min_dims=0, max_dims=3, min_side=0, max_side=4),
))  # fmt: skip
def test_any_number_is_read_as_it_was_written(array: NDArray[Any]) -> None:
    assert same(read(written({"any": array}), {"any": ArraySpec(array.dtype.name, array.shape)}), {"any": array})


@pytest.mark.parametrize("array", [SUMS[:, ::2], SUMS.T, np.asfortranarray(SUMS), SUMS.astype(">f4")])
def test_how_an_array_lies_in_memory_makes_no_difference(array: NDArray[Any]) -> None:
    spec = ArraySpec("float32", array.shape)
    np.testing.assert_array_equal(read(written({"any": array}), {"any": spec})["any"], array)


def test_what_is_read_may_be_changed() -> None:
    read(WHOLE, SPECS)["sums"] += 1
    assert same(read(WHOLE, SPECS), ARRAYS)


def test_objects_are_not_written() -> None:
    with pytest.raises(TypeError):
        written({"any": np.array([{}], dtype=object)})


def damaged(data: bytes) -> Iterator[bytes]:
    """Yield data with every bit of every byte turned round, and every byte in place of another."""
    for place, byte in enumerate(data):
        for other in {byte ^ (1 << bit) for bit in range(8)} | {0, 255, ord("\n"), ord("0"), ord('"')} - {byte}:
            yield data[:place] + bytes([other]) + data[place + 1 :]


@pytest.mark.parametrize("specs", [SPECS, PASSES])
def test_with_a_byte_damaged_the_exact_arrays_are_read_or_none(specs: dict[str, ArraySpec]) -> None:
    refused = 0
    for data in damaged(WHOLE):
        try:
            found = read(data, specs)
        except DamagedError:
            refused += 1
        else:
            assert specs is PASSES  # of the bytes of sums, which were not read
            assert same(found, {"passes": ARRAYS["passes"]})
    assert refused > 1000


@pytest.mark.parametrize("specs", [SPECS, PASSES])
def test_with_a_byte_lost_or_added_none_is_read(specs: dict[str, ArraySpec]) -> None:
    for place in range(len(WHOLE)):
        head, tail = WHOLE[:place], WHOLE[place:]
        for data in (head, head + tail[1:], head + b"\n" + tail, head + bytes(1) + tail):
            with pytest.raises(DamagedError):
                read(data, specs)


@pytest.mark.parametrize(
    "junk", [b"", b"not arrays at all", b"\x93NUMPY\x01\x00v\x00{'descr'", b"PK\x03\x04", MAGIC, bytes(2**20)]
)
def test_something_else_is_refused(junk: bytes) -> None:
    with pytest.raises(DamagedError):
        read(junk, SPECS)


def test_what_was_written_under_another_key_is_refused() -> None:
    with pytest.raises(DamagedError, match="holds a"):
        read(WHOLE, SPECS, "b")


@pytest.mark.parametrize(
    ("name", "spec", "told"),
    [
        ("albedo", SPECS["sums"], "lacks albedo"),
        ("sums", ArraySpec("float32", (2, 4, 3)), "holds sums as <f4 (2, 3, 4), not float32 (2, 4, 3)"),
        ("sums", ArraySpec("int32", (2, 3, 4)), "holds sums as <f4 (2, 3, 4), not int32 (2, 3, 4)"),
        ("passes", ArraySpec("int64", (1,)), "holds passes as <i8 (), not int64 (1,)"),
    ],
)
def test_other_names_types_and_shapes_than_expected_are_refused(name: str, spec: ArraySpec, told: str) -> None:
    with pytest.raises(DamagedError, match=re.escape(told)):
        read(WHOLE, {**SPECS, name: spec})


@pytest.mark.skipif(not hasattr(os, "mkfifo"), reason="there are no named pipes here")
def test_a_pipe_is_refused_and_not_waited_for(tmp_path: Path) -> None:
    os.mkfifo(tmp_path / "a")
    with pytest.raises(DamagedError, match="not a regular file"):
        open_regular(tmp_path / "a")


@pytest.mark.skipif(not Path("/dev/zero").exists(), reason="there is no such device here")
def test_a_device_is_refused(tmp_path: Path) -> None:
    (tmp_path / "a").symlink_to("/dev/zero")
    with pytest.raises(DamagedError, match="not a regular file"):
        open_regular(tmp_path / "a")


def test_what_is_not_there_is_told_apart_from_what_is_damaged(tmp_path: Path) -> None:
    with pytest.raises(FileNotFoundError):
        open_regular(tmp_path / "a")
