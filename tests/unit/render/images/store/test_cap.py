"""The cache is as large as the environment says, or 8 GiB; anything but a number is refused."""

from __future__ import annotations

from pathlib import Path

import pytest

from render.images.store.cap import CAP_BYTES, CAP_VARIABLE
from render.images.store.store import Store
from scenes.errors import InputError


@pytest.mark.parametrize(("typed", "cap"), [("", CAP_BYTES), ("200", 200 * 10**9), (" 1.5 ", 15 * 10**8)])
def test_the_environment_says_how_large(
    typed: str, cap: int, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:  # fmt: skip
    monkeypatch.setenv(CAP_VARIABLE, typed)
    assert Store(tmp_path).cap_bytes == cap
    assert Store(tmp_path, cap_bytes=7).cap_bytes == 7


@pytest.mark.parametrize("typed", ["0", "-5", "200GB", "nan", "1e3", "10000000"])
def test_anything_else_is_refused_in_a_sentence(
    typed: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:  # fmt: skip
    monkeypatch.setenv(CAP_VARIABLE, typed)
    with pytest.raises(InputError, match=CAP_VARIABLE):
        Store(tmp_path)
