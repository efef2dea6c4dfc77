"""Data files that come with the packages: TOML, and tables of columns."""

from __future__ import annotations

import tomllib
from functools import cache
from importlib.resources import files
from typing import Any

import numpy as np

from .arrays import Array


@cache
def packaged_toml(package: str, name: str) -> dict[str, Any]:
    """Return the content of a TOML file in a package's folder; every caller gets the same object, so copy before edits.

    Parameters
    ----------
    package
        Dotted name, such as ``materials.surface``.
    name
        The file, relative to the package's folder.
    """
    return tomllib.loads(_packaged_text(package, name))


def packaged_columns(package: str, name: str) -> dict[str, Array]:
    """Return the columns, (rows,) each, of a CSV file in a package's folder by the names in its first line.

    Lines that begin with # are comments. Parameters are those of `packaged_toml`.
    """
    names, *rows = [line.split(",") for line in _packaged_text(package, name).splitlines() if not line.startswith("#")]
    return dict(zip(names, np.array(rows, dtype=np.float64).T, strict=True))


def _packaged_text(package: str, name: str) -> str:
    return files(package).joinpath(name).read_text(encoding="utf-8")
