"""What every model of a file shares: its base, and the kinds of value with their limits."""

from __future__ import annotations

from typing import Annotated, TypeAlias

from pydantic import AfterValidator, BaseModel, ConfigDict, Field

from materials.light.spectra import KELVIN_RANGE
from scenes.geometry import unit


def _direction(v: tuple[float, float, float]) -> tuple[float, float, float]:
    try:
        unit(v)
    except ValueError:
        raise ValueError("a direction needs a number that is not 0, and none that is huge") from None
    return v


Length: TypeAlias = Annotated[float, Field(gt=0, le=2000, allow_inf_nan=False)]
Point: TypeAlias = Annotated[tuple[float, float, float], Field(description="cm: camera right, away, up")]
Direction: TypeAlias = Annotated[tuple[float, float, float], AfterValidator(_direction)]
BoardSize: TypeAlias = Annotated[tuple[Length, Length], Field(description="cm: width (level), height")]
Kelvin: TypeAlias = Annotated[float, Field(ge=KELVIN_RANGE[0], le=KELVIN_RANGE[1])]
Dimmer: TypeAlias = Annotated[float, Field(ge=0, le=1)]
HexColour: TypeAlias = Annotated[str, Field(pattern=r"^#[0-9a-fA-F]{6}$")]
GlossUnits: TypeAlias = Annotated[float, Field(gt=0, le=89)]


class Model(BaseModel):
    """Frozen, and every unknown key is an error."""

    model_config = ConfigDict(frozen=True, extra="forbid", allow_inf_nan=False)
