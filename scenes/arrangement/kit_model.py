"""A kit: a file of the lamps and cards that are owned, typed once for many arrangements."""

from __future__ import annotations

from pydantic import Field, model_validator

from .cards.card_model import DeclaredCard
from .lamp_model import LampModel, names_differ
from .value_types import MOST_THINGS, Model


class Kit(Model):
    """A file of lamps and cards that are owned."""

    lamps: tuple[LampModel, ...] = Field((), max_length=MOST_THINGS)
    cards: tuple[DeclaredCard, ...] = Field((), max_length=MOST_THINGS)

    @model_validator(mode="after")
    def _not_empty(self) -> Kit:
        if not self.lamps and not self.cards:
            raise ValueError("a kit has [[lamps]] or [[cards]]; this one has neither")
        return self

    @model_validator(mode="after")
    def _lamp_names_differ(self) -> Kit:
        names_differ(self.lamps)
        return self
