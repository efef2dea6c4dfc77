"""Text with places for values that may be changed: of TOML, pieces of text and slots."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any, Literal, TypeAlias


@dataclass(frozen=True)
class Slot:
    """A place for a value.

    Parameters
    ----------
    name
        The key whose value it is.
    initial
        The value as TOML, that of the frame.
    lamp
        The number of the lamp whose key it is, from 0; None of the camera's keys.
    """

    name: Literal["dimmer", "kelvin", "shutter_s", "white_balance"]
    initial: str
    lamp: int | None = None


Piece: TypeAlias = str | Slot


def text_of(pieces: Iterable[Piece]) -> str:
    """Return the text of pieces, each slot with its initial value."""
    return "".join(piece.initial if isinstance(piece, Slot) else piece for piece in pieces)


def pieces_facts(pieces: Iterable[Piece]) -> list[str | dict[str, Any]]:
    """Return pieces as plain data: text, or `{"slot": "dimmer", "lamp": 0, "initial": "0.25"}`; no lamp of a camera."""
    return [piece if isinstance(piece, str) else _slot_facts(piece) for piece in pieces]


def _slot_facts(slot: Slot) -> dict[str, Any]:
    of_lamp = {} if slot.lamp is None else {"lamp": slot.lamp}
    return {"slot": slot.name, **of_lamp, "initial": slot.initial}
