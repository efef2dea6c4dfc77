"""The section of a file that a key belongs to, where it stands in another."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from scenes.arrangement.value_types import Model

from .place import model_in

MOST_NAMED: Final = 3
"""Sections that have the key."""


def section_of(name: str, owner: type[Model], model: type[Model]) -> str:
    """Return where a key belongs, `under [subject]`, that `owner` does not have; empty for none or many."""
    if owner is not model and name in model.model_fields:
        return "at the top of the file, above the first section"
    found = [section for section, other in _sections(model, "") if name in other.model_fields and other is not owner]
    if not 1 <= len(found) <= MOST_NAMED:
        return ""
    return f"under {' or '.join(filter(None, (', '.join(found[:-1]), found[-1])))}"


def _sections(model: type[Model], key: str) -> Iterator[tuple[str, type[Model]]]:
    for name, field in model.model_fields.items():
        if (below := model_in(field.annotation)) is None:
            continue
        path = f"{key}.{name}" if key else name
        yield (f"[[{path}]]" if "tuple" in str(field.annotation) else f"[{path}]"), below
        yield from _sections(below, path)
