"""The base of every model of a file, and the types of its values with their limits."""

from __future__ import annotations

from typing import Annotated, ClassVar, Final, TypeAlias

from pydantic import AfterValidator, BaseModel, ConfigDict, Field

from materials.light.spectra import KELVIN_RANGE
from scenes.geometry import unit
from scenes.text import is_printable

MOST_THINGS: Final = 50
"""Lamps, cards or meters of an arrangement."""
MOST_NAMES: Final = 200
"""Entries of a list of files, parts or finishes."""
GLOSS_RANGE: Final = (0.1, 89.0)
"""Gloss units at 60 degrees of the roughest and the smoothest clear coat of index 1.5 over black."""
REACH_CM: Final = 10_000
"""Largest distance from the centre mark along an axis."""


def _direction(v: tuple[float, float, float]) -> tuple[float, float, float]:
    try:
        unit(v)
    except ValueError:
        raise ValueError("a direction needs a number that is not 0") from None
    return v


def _one_line(text: str) -> str:
    if not all(map(is_printable, text)):
        raise ValueError("a name is one line of text, without control characters")
    return text


Name: TypeAlias = Annotated[str, Field(max_length=300), AfterValidator(_one_line)]
Pattern: TypeAlias = Annotated[str, Field(max_length=300)]
"""A part's name or its material's, with ``*`` and ``?`` as wildcards."""
Length: TypeAlias = Annotated[float, Field(ge=0.01, le=2000, allow_inf_nan=False)]
Millimetres: TypeAlias = Annotated[float, Field(ge=0.5, le=2000)]
"""A sensor's side or a focal length."""
Coordinate: TypeAlias = Annotated[float, Field(ge=-REACH_CM, le=REACH_CM)]
Point: TypeAlias = Annotated[tuple[Coordinate, Coordinate, Coordinate], Field(description="cm: camera right, away, up")]
Direction: TypeAlias = Annotated[tuple[Coordinate, Coordinate, Coordinate], AfterValidator(_direction)]
Kelvin: TypeAlias = Annotated[float, Field(ge=KELVIN_RANGE[0], le=KELVIN_RANGE[1])]
Share: TypeAlias = Annotated[float, Field(gt=0, lt=1)]
Chromaticity: TypeAlias = tuple[Share, Share]
"""CIE 1931 x and y."""
Dimmer: TypeAlias = Annotated[float, Field(ge=0, le=1)]
Degrees: TypeAlias = Annotated[float, Field(ge=-180, le=180)]
HexColour: TypeAlias = Annotated[str, Field(pattern=r"^#[0-9a-fA-F]{6}$")]
GlossUnits: TypeAlias = Annotated[float, Field(ge=GLOSS_RANGE[0], le=GLOSS_RANGE[1])]


class Model(BaseModel):
    """A frozen model in which every unknown key is an error."""

    model_config = ConfigDict(frozen=True, extra="forbid", allow_inf_nan=False)
    renamed: ClassVar[dict[str, str]] = {}
    """From a former key to its new name."""
    removed: ClassVar[dict[str, str]] = {}
    """From a key that is no more to what to write instead."""
