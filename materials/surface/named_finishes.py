"""The named finishes of the trade, by their gloss."""

from __future__ import annotations

from dataclasses import dataclass

from materials.packaged import packaged_toml


@dataclass(frozen=True)
class NamedFinish:
    """A finish by its name: gloss at 60 degrees, GU, how it appears, and the source of the number.

    Labels that bear the name can mean any gloss from `low` to `high`, GU.
    """

    gloss_units: float
    low: float
    high: float
    description: str
    source: str


def named_finishes() -> dict[str, NamedFinish]:
    """Return the named finishes of `named_finishes.toml`, glossiest first."""
    table = packaged_toml("materials.surface", "named_finishes.toml")
    return {name: NamedFinish(**values) for name, values in table.items()}
