"""Cards, flags and diffusers as an arrangement declares them, and the boards that they are made of."""

from __future__ import annotations

from typing import Annotated, TypeAlias

from pydantic import BeforeValidator, Field, model_validator

from materials.colour.upsampling import reflectance_from_hex
from materials.surface.boards import board_finish, board_name
from materials.surface.finish import Finish
from scenes.arrangement.value_types import Direction, HexColour, Length, Model, Name, Point

from .board_words import find_board, nearest_board
from .card_words import card_in_words
from .paper_sizes import BoardSize


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


def _card(value: object) -> object:
    return card_in_words(value) if isinstance(value, str) else value


BoardName: TypeAlias = Annotated[float | str, BeforeValidator(_board)]
"""A number, or a board by everyday words: white paper, black velvet, kitchen foil, tracing paper."""
MattBoard: TypeAlias = Annotated[float | str, BeforeValidator(_matt_board)]
"""A number, or the name of a board that neither shines nor lets light through."""


class Trifold(Model):
    """Two wings hinged to the sides of a board, as of a display board."""

    wing_cm: Length = Field(description="how wide each wing is")
    open_deg: float = Field(120.0, ge=45, le=180, description="between wing and middle: 180 is flat")


class CardModel(Model):
    """A board: matt to bounce light, black to block it, foil, or translucent to diffuse it."""

    name: Name = "card"
    size_cm: BoardSize
    reflectance: BoardName = 0.85
    colour: HexColour | None = Field(None, description="of coloured card, in place of a reflectance")
    at_cm: Point | None = Field(None, description="where it stands in every setup; else setups place it")
    facing: Direction | None = None
    trifold: Trifold | None = None

    @model_validator(mode="after")
    def _one_colour(self) -> CardModel:
        if self.colour is not None and "reflectance" in self.model_fields_set:
            raise ValueError("give reflectance or colour, not both")
        if (self.at_cm is None) != (self.facing is None):
            raise ValueError("a card in every setup takes both at_cm and facing; one that setups place takes neither")
        if self.trifold is not None and self.facing is not None and self.facing[2] != 0:
            raise ValueError("a trifold stands upright: facing should be level, as [0, -1, 0]")
        return self

    @property
    def finish(self) -> Finish:
        """Its surface finish."""
        return Finish.board(reflectance_from_hex(self.colour)) if self.colour else board_finish(self.reflectance)

    @property
    def board(self) -> str:
        """What it is made of, by name."""
        return board_name(self.reflectance, self.colour)

    @property
    def flat_size_cm(self) -> tuple[float, float]:
        """Width and height of the card, cm; of a trifold laid flat."""
        width, height = self.size_cm
        return (width + 2 * self.trifold.wing_cm, height) if self.trifold else (width, height)


DeclaredCard: TypeAlias = Annotated[CardModel, BeforeValidator(_card, json_schema_input_type=CardModel | str)]
"""A card as a table, or in everyday words as "A4 white paper"."""
