"""Cards, flags and diffusers as an arrangement declares them."""

from __future__ import annotations

from typing import Annotated, TypeAlias

from pydantic import BeforeValidator, Field, model_validator

from scenes.arrangement.value_types import Direction, Length, Model, Name, Point

from .board_model import BoardModel, BoardName
from .card_words import card_in_words
from .paper_sizes import BoardSize


def _card(value: object) -> object:
    return card_in_words(value) if isinstance(value, str) else value


class Trifold(Model):
    """Two wings hinged to the sides of a board, as of a display board."""

    wing_cm: Length = Field(description="how wide each wing is")
    open_deg: float = Field(120.0, ge=45, le=180, description="between wing and middle: 180 is flat")


class CardModel(BoardModel):
    """A board: matt to bounce light, black to block it, foil, or translucent to diffuse it."""

    name: Name = "card"
    size_cm: BoardSize
    reflectance: BoardName = 0.85
    at_cm: Point | None = Field(None, description="where it stands in every setup; else setups place it")
    facing: Direction | None = None
    trifold: Trifold | None = None

    @model_validator(mode="after")
    def _one_place(self) -> CardModel:
        if (self.at_cm is None) != (self.facing is None):
            raise ValueError("a card in every setup takes both at_cm and facing; one that setups place takes neither")
        if self.trifold is not None and self.facing is not None and self.facing[2] != 0:
            raise ValueError("a trifold stands upright: facing should be level, as [0, -1, 0]")
        return self

    @property
    def flat_size_cm(self) -> tuple[float, float]:
        """Width and height of the card, cm; of a trifold laid flat."""
        width, height = self.size_cm
        return (width + 2 * self.trifold.wing_cm, height) if self.trifold else (width, height)


DeclaredCard: TypeAlias = Annotated[CardModel, BeforeValidator(_card, json_schema_input_type=CardModel | str)]
"""A card as a table, or in everyday words as "A4 white paper"."""
