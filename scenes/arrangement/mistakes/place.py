"""Where in a file a mistake is: its key, and the lamp, card or part that the key belongs to."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from types import UnionType
from typing import Annotated, Any, Final, Union, get_args, get_origin

from scenes.arrangement.value_types import Model
from scenes.text import printable

LONGEST_VALUE: Final = 60
"""Characters that are shown of a key or a value."""
LABELS: Final = ("name", "match", "role")
"""Keys that a lamp, a card, a part's finish or a setup's lamp is known by."""


@dataclass(frozen=True)
class Place:
    """The place of a value in a file.

    Parameters
    ----------
    item
        The thing of a list that it belongs to, with its name: `lamps[2] "desk panel"`; empty for no such thing.
    key
        Its key, in that thing or in the file: `lumens`, `camera.iso`; empty for the thing itself.
    owner
        The model that the key belongs to.
    """

    item: str
    key: str
    owner: type[Model]

    @property
    def prefix(self) -> str:
        """What a sentence on its key begins with."""
        return f"{self.item}: " if self.item else ""


def place_of(loc: Sequence[int | str], model: type[Model], data: object, under: str = "") -> Place:
    """Return the place of pydantic's steps in a file, lists counted from 1; `under` is where `data` is in it.

    Steps that belong to no model are skipped: they are pydantic's names of a union's alternatives.
    """
    item, key, owner = (_labelled(under, data), "", model) if under.endswith("]") else ("", under, model)
    key = under if under and not item else key
    found: type[Model] | None = model
    for step in loc:
        if isinstance(step, int):
            key += f"[{step + 1}]"
            data = data[step] if isinstance(data, list | tuple) and step < len(data) else None
            if label := _labelled(f"{item}.{key}" if item else key, data):
                item, key = label, ""
        elif found is not None:
            key, owner = key_below(key, step), found
            field = found.model_fields.get(step)
            found = model_in(field.annotation) if field else None
            data = data.get(step) if isinstance(data, Mapping) else None
    return Place(item, key, owner)


def _labelled(key: str, data: object) -> str:
    """Return the key of a thing with its name, `lamps[2] "desk panel"`; empty where it has none."""
    names = [data[label] for label in LABELS if isinstance(data.get(label), str)] if isinstance(data, Mapping) else []
    return f'{key} "{printable(names[0], LONGEST_VALUE)}"' if names else ""


def key_of(place: Sequence[int | str]) -> str:
    """Return the key of a place in a file, lists counted from 1: ("lamps", 1, "lumens") is lamps[2].lumens."""
    steps = (f"[{step + 1}]" if isinstance(step, int) else f".{step}" for step in place)
    return "".join(steps).removeprefix(".")


def key_below(key: str, step: str) -> str:
    """Return the key of a step below another, in printable characters."""
    shown = printable(step, LONGEST_VALUE)
    return f"{key}.{shown}" if key else shown


def model_in(annotation: Any) -> type[Model] | None:
    """Return the model of a field that holds one or a list of it; None of any other."""
    if isinstance(annotation, type) and issubclass(annotation, Model):
        return annotation
    if get_origin(annotation) in (Annotated, tuple, Union, UnionType):
        return next(filter(None, map(model_in, get_args(annotation))), None)
    return None
