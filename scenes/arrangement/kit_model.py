"""A kit: a file of the lamps that are owned, typed once for many arrangements."""

from __future__ import annotations

from pydantic import Field, model_validator

from .lamp_model import LampModel, names_differ
from .value_types import MOST_THINGS, Model


class Kit(Model):
    """A file of lamps that are owned."""

    lamps: tuple[LampModel, ...] = Field(min_length=1, max_length=MOST_THINGS)

    @model_validator(mode="after")
    def _lamp_names_differ(self) -> Kit:
        names_differ(self.lamps)
        return self
