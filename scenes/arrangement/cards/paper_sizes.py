"""Sizes of boards and sheets: numbers in cm, or the name of a paper size."""

from __future__ import annotations

from typing import Annotated, TypeAlias

from pydantic import BeforeValidator, Field

from materials.packaged import packaged_toml
from scenes.arrangement.value_types import Length
from scenes.errors import nearest

Size: TypeAlias = tuple[Length, Length]


def paper_sizes() -> dict[str, tuple[float, float]]:
    """Return width and height, cm, of upright sheets by the names of their sizes, as of ISO 216."""
    sizes = packaged_toml("scenes.arrangement.cards", "paper_sizes.toml")
    return {name: (width, height) for name, (width, height) in sizes.items()}


def _in_cm(value: object) -> object:
    if not isinstance(value, str):
        return value
    sizes = {name.lower(): size for name, size in paper_sizes().items()}
    if value.lower() not in sizes:
        raise ValueError(f"no paper size is called '{value}'{nearest(value, paper_sizes())}; or [width, height] in cm")
    return sizes[value.lower()]


BoardSize: TypeAlias = Annotated[
    Size,
    BeforeValidator(_in_cm, json_schema_input_type=Size | str),
    Field(description="cm: width (level), height; or a paper size by name, upright: " + ", ".join(paper_sizes())),
]
