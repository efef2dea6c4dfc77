"""Boards as an arrangement declares them: by reflectance, by name or by colour."""

from __future__ import annotations

from typing import Annotated, Self, TypeAlias

from pydantic import BeforeValidator, Field, model_validator

from materials.colour.upsampling import reflectance_from_hex
from materials.surface.boards import board_finish, board_name
from materials.surface.finish import Finish
from scenes.arrangement.value_types import HexColour, Model

from .board_words import find_board, nearest_board


def _board(value: object) -> object:
    if isinstance(value, str):
        if (name := find_board(value)) is None:
            raise ValueError(f"no board or paper is called '{value}'{nearest_board(value)}")
        return name
    if isinstance(value, bool) or not isinstance(value, int | float):
        raise ValueError("a reflectance is a number from 0 to 1 or the name of a board or paper")
    if not 0 <= value <= 1:
        raise ValueError("a reflectance lies between 0 and 1")
    return value


def _matt_board(value: object) -> object:
    board = _board(value)
    if isinstance(board, str) and board_finish(board).kind != "matt":
        raise ValueError(f"'{value}' is no backdrop: a backdrop is a matt board, paper or cloth")
    return board


BoardName: TypeAlias = Annotated[float | str, BeforeValidator(_board)]
"""A number, or a board by everyday words: white paper, black velvet, kitchen foil, tracing paper."""
MattBoard: TypeAlias = Annotated[float | str, BeforeValidator(_matt_board)]
"""A number, or the name of a board that neither shines nor lets light through."""


class BoardModel(Model):
    """What a card or a backdrop is made of."""

    reflectance: BoardName
    colour: HexColour | None = Field(None, description="of coloured board or cloth, in place of a reflectance")

    @model_validator(mode="after")
    def _one_colour(self) -> Self:
        if self.colour is not None and "reflectance" in self.model_fields_set:
            raise ValueError("give reflectance or colour, not both")
        return self

    @property
    def finish(self) -> Finish:
        """Its surface finish."""
        return Finish.board(reflectance_from_hex(self.colour)) if self.colour else board_finish(self.reflectance)

    @property
    def board(self) -> str:
        """What it is made of, by name."""
        return board_name(self.reflectance, self.colour)
