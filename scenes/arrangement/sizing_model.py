"""The declared size of a model: a size, a scale and a real size, or the unit of its file."""

from __future__ import annotations

import re
from typing import Annotated, Literal, TypeAlias

from pydantic import AfterValidator, Field

from .value_types import Length, Model

RealLength: TypeAlias = Annotated[float, Field(gt=0, le=1000, allow_inf_nan=False)]


def _scale(words: str) -> str:
    if not re.fullmatch(r"1:(?=.*[1-9])[0-9]{1,4}(\.[0-9]{1,4})?", words):
        raise ValueError('a scale is written 1:N, as "1:35"')
    return words


Scale: TypeAlias = Annotated[str, AfterValidator(_scale)]


class Sizing(Model):
    """At most one size, length running front to back; or the file's unit.

    Or a `scale` such as "1:35" of one real size in m; of a file in real size, `scale` and its unit.
    """

    height_cm: Length | None = None
    length_cm: Length | None = None
    width_cm: Length | None = None
    unit: Literal["mm", "cm", "m", "in"] | None = None
    scale: Scale | None = Field(None, description="1:35, of a real size")
    real_height_m: RealLength | None = None
    real_length_m: RealLength | None = None
    real_width_m: RealLength | None = None
