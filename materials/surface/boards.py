"""Boards, papers, foils and cloths: the surfaces of backdrops, cards, flags and diffusers."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from materials.packaged import packaged_toml

from .board_class import board_class
from .finish import Finish


@dataclass(frozen=True)
class Board:
    """A board, paper, foil or cloth: its numbers, a description, and the source of the numbers.

    `reflectance` and `transmittance` are 0 to 1; `roughness` is the GGX alpha of a foil. With a roughness it is a
    metal, with a transmittance a diffuser, else matt. `also` are its everyday names, `usual_cm` width and height of the
    sheet that is usually bought.
    """

    reflectance: float
    description: str
    source: str
    also: tuple[str, ...]
    usual_cm: tuple[float, float]
    roughness: float | None = None
    transmittance: float = 0.0

    @property
    def finish(self) -> Finish:
        """The board as a finish."""
        if self.roughness is not None:
            return Finish.metal(self.reflectance, self.roughness)
        if self.transmittance:
            return Finish.diffuser(self.reflectance, self.transmittance)
        return Finish.board(self.reflectance)


def named_boards() -> dict[str, Board]:
    """Return the boards, papers, foils and cloths of `boards.toml`."""
    tables = packaged_toml("materials.surface", "boards.toml")
    return {name: Board(**{key: _frozen(value) for key, value in table.items()}) for name, table in tables.items()}


def board_finish(board: float | str) -> Finish:
    """Return the finish of a matt board of one reflectance, 0 to 1, or of a named one."""
    return named_boards()[board].finish if isinstance(board, str) else Finish.board(board)


def board_name(reflectance: float | str, colour: str | None) -> str:
    """Return the name of a board: its own, "18 % grey board", or "#24508c board" where it has a colour."""
    if colour is not None:
        return f"{colour} board"
    if isinstance(reflectance, str):
        return reflectance
    return f"{100 * reflectance:.3g} % {board_class(board_finish(reflectance))} board"


def _frozen(value: object) -> Any:
    return tuple(value) if isinstance(value, list) else value
