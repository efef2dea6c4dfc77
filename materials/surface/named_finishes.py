"""The named finishes of the trade, and the tables of named things in this package."""

from __future__ import annotations

import tomllib
from dataclasses import dataclass
from functools import cache
from importlib.resources import files
from typing import Any


@dataclass(frozen=True)
class NamedFinish:
    """A finish by its name: gloss at 60 degrees, GU, what it looks like, and where the number is from.

    Labels that say the name can mean any gloss from `low` to `high`.
    """

    gloss_units: float
    low: float
    high: float
    description: str
    source: str


def named_finishes() -> dict[str, NamedFinish]:
    """Return the named finishes of `finishes.toml`, shiniest first."""
    return {name: NamedFinish(**values) for name, values in read_table("named_finishes.toml").items()}


@cache
def read_table(name: str) -> dict[str, dict[str, Any]]:
    """Return one of the TOML files of this package: what there is by name."""
    return tomllib.loads(files("materials.surface").joinpath(name).read_text(encoding="utf-8"))
