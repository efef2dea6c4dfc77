"""The key of a stored result changes with all that the result depends on, and with nothing else."""

from __future__ import annotations

import ast
import importlib.metadata
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from render import kernel
from render.images.store import keys
from render.images.store.keys import result_key
from render.kernel.backend import Backend

KERNEL = Path(kernel.__file__).parent
HOLDS_NO_TABLE = {
    "render.description.scene", "scenes.lamps.emitter_shape", "materials.arrays",
    "materials.surface.finish", "materials.light.spectra",
}  # fmt: skip
"""What the kernel imports from these are plain data, which is in the key of what it is asked to trace."""


@pytest.fixture(autouse=True)
def _nothing_remembered() -> Iterator[None]:
    keys.provenance.cache_clear()
    yield
    keys.provenance.cache_clear()


def key() -> str:
    keys.provenance.cache_clear()
    return result_key("image", 1.0)


def test_the_key_is_the_same_for_the_same_and_another_for_another() -> None:
    assert key() == result_key("image", 1.0)
    assert len({result_key("image", 1.0), result_key("features", 1.0), result_key("image", 2.0)}) == 3


@pytest.mark.parametrize("package", ["mitsuba", "drjit"])
def test_another_version_of_the_renderer_is_another_key(package: str, monkeypatch: pytest.MonkeyPatch) -> None:
    before, version = key(), importlib.metadata.version
    monkeypatch.setattr(importlib.metadata, "version", lambda name: "0.0" if name == package else version(name))
    assert key() != before


def test_another_version_of_the_kernel_is_another_key(monkeypatch: pytest.MonkeyPatch) -> None:
    before = key()
    monkeypatch.setattr(kernel, "KERNEL_VERSION", "another")
    assert key() != before


def test_another_backend_is_another_key_and_why_it_was_chosen_is_none(monkeypatch: pytest.MonkeyPatch) -> None:
    found = []
    for variant, why in (("llvm_ad_spectral", "a"), ("llvm_ad_spectral", "b"), ("cuda_ad_spectral", "a")):
        monkeypatch.setattr(keys, "choose_backend", lambda variant=variant, why=why: Backend(variant, None, why))
        found.append(key())
    assert found[0] == found[1] != found[2]


def tables_of_the_kernel() -> list[str]:
    """Return the names of numbers, tables and functions that the kernel imports from outside of itself."""
    names = set()
    for file in KERNEL.rglob("*.py"):
        for node in ast.walk(ast.parse(file.read_text(encoding="utf-8"))):
            if isinstance(node, ast.ImportFrom) and node.level == 0 and node.module:
                is_ours = node.module.split(".")[0] in {"materials", "scenes", "render"}
                is_kernel = node.module.startswith("render.kernel")
                if is_ours and not is_kernel and node.module not in HOLDS_NO_TABLE:
                    names |= {alias.name for alias in node.names}
    return sorted(names)


def perturbed(value: Any) -> Any:
    """Return a number, an array or a function's result, a thousandth larger where it is largest."""
    if callable(value):
        return lambda *arguments: perturbed(value(*arguments))
    if isinstance(value, tuple):
        return (*value[:-1], perturbed(value[-1]))
    if isinstance(value, int):
        return value - 1
    array = np.array(value, dtype=float)
    array[np.unravel_index(np.argmax(array), array.shape)] *= 1.001
    return array if array.shape else float(array)


def test_the_kernel_reads_tables_of_others() -> None:
    assert {"mixing_spectra", "directional_albedo", "COSINES", "BAND_COUNT", "linear_srgb_under_d65"} <= set(
        tables_of_the_kernel()
    )


@pytest.mark.parametrize("name", tables_of_the_kernel())
def test_another_value_of_a_table_that_the_kernel_reads_is_another_key(
    name: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    before = key()
    assert hasattr(keys, name), f"the kernel reads {name}: it belongs into keys.tables()"
    monkeypatch.setattr(keys, name, perturbed(getattr(keys, name)))
    assert key() != before
