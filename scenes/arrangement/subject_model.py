"""The models of an arrangement's [subject]: mesh, size, and the finishes of parts."""

from __future__ import annotations

from typing import Annotated, Any, ClassVar, Literal, TypeAlias

from pydantic import AfterValidator, Field, field_validator, model_validator

from materials.colour.notation import COLOUR_NOTATIONS, is_colour, is_reflectance_file, reflectance_from
from materials.surface.metals import named_metals
from materials.surface.named_finishes import named_finishes
from scenes.errors import nearest
from scenes.subject.kind import SubjectKind

from .mistakes.synonyms import finish_name
from .sizing_model import Sizing
from .value_types import MOST_NAMES, GlossUnits, HexColour, Model, Pattern


def _colour(words: str) -> str:
    if not is_colour(words):
        raise ValueError(f"a colour is written {COLOUR_NOTATIONS}")
    if not is_reflectance_file(words):
        reflectance_from(words)  # raises where no surface can have it
    return words


Colour: TypeAlias = Annotated[str, AfterValidator(_colour)]
Axis: TypeAlias = Literal["x", "y", "z", "-x", "-y", "-z"]


def _topcoat_gloss(value: object) -> float | None:
    if isinstance(value, str):
        finishes, name = named_finishes(), finish_name(value)
        if name not in finishes:
            raise ValueError(f"no finish is called '{value}'{nearest(value, finishes)}")
        return float(finishes[name].gloss_units)
    return value  # type: ignore[return-value]  # a number, or an error that the field itself reports


class PartFinish(Model):
    """The finish of the parts that a wildcard matches."""

    renamed: ClassVar[dict[str, str]] = {"surface": "primer: write primer = true"}

    match: Pattern = Field("*", description="a part's name or its material in the file, with wildcards")
    base: Colour | None = Field(None, description="the colour as seen, without its shine: " + COLOUR_NOTATIONS)
    metal: bool | str = Field(False, description="true, or a metal by its name: " + ", ".join(named_metals()))
    paint: Literal["metallic", "pearl", "candy"] | None = Field(None, description="flakes under a clear surface")
    primer: bool = Field(False, description="unbound matt paint or primer, which a clear coat wets")
    clear: bool = Field(False, description="glass or clear plastic, of the colour that passes")
    roughness: float | None = Field(None, gt=0, le=1, description="0.05 polished, 0.4 dull")
    gloss: GlossUnits | None = Field(None, description="gloss units at 60 degrees")

    @field_validator("metal")
    @classmethod
    def _known_metal(cls, value: bool | str) -> bool | str:
        if isinstance(value, str) and value not in named_metals():
            raise ValueError(f"no metal is called '{value}'{nearest(value, named_metals())}")
        return value

    @model_validator(mode="after")
    def _one_kind_of_finish(self) -> PartFinish:
        if self.metal and self.gloss is not None:
            raise ValueError("metal takes roughness, paint and plastic take gloss")
        if self.roughness is not None and self.gloss is not None:
            raise ValueError("give roughness or gloss, not both")
        kinds = [key for key in ("metal", "paint", "primer", "clear") if getattr(self, key)]
        if len(kinds) > 1:
            raise ValueError(f"{kinds[0]} and {kinds[1]} are two kinds of finish: keep one")
        if self.primer and (self.gloss is not None or self.roughness is not None):
            raise ValueError("a primer has no shine of its own: leave gloss and roughness out")
        return self


class WashModel(Model):
    """A thin dark paint that settles in recesses, under the topcoat."""

    match: tuple[Pattern, ...] = Field(("*",), max_length=MOST_NAMES)
    colour: Colour = "#241c16"
    strength: float = Field(0.7, ge=0, le=1, description="0 none, 1 covers in the deepest recesses")
    width_mm: float = Field(0.3, ge=0.01, le=5, description="of the widest lines that it settles in")


class PlinthModel(Model):
    """A plain base under the model."""

    height_cm: float = Field(1.0, gt=0, le=100)
    margin_cm: float = Field(1.0, ge=0, le=50, description="beyond the model, all round")
    base: HexColour = "#2a2420"
    gloss: GlossUnits = 27.0


class SubjectModel(Sizing):
    """The model to be photographed."""

    renamed: ClassVar[dict[str, str]] = {"mask": "no_topcoat"}

    mesh: str | Annotated[tuple[str, ...], Field(max_length=MOST_NAMES)] = Field(
        description="a file beside the arrangement, or several of one model; demo:diver; stand-in:figure"
    )
    up: Axis | None = Field(None, description="the file's own up")
    front: Axis | None = Field(None, description="the file's axis that the model faces")
    kind: SubjectKind | None = Field(None, description="else guessed, but a bust, an aircraft and a ship are named")
    faces_deg: float | None = Field(
        None, ge=-180, le=180, description="0 looks at the camera, + to camera right; else as is usual of its kind"
    )
    hero: Pattern | None = Field(None, description="the part that setups aim at, with wildcards")
    topcoat: GlossUnits | None = Field(None, description="a named finish or gloss units, but for no_topcoat")
    no_topcoat: tuple[Pattern, ...] = Field((), max_length=MOST_NAMES, description="parts that the topcoat leaves out")
    hide: tuple[Pattern, ...] = Field(
        (), max_length=MOST_NAMES, description="parts that are left out, such as print supports"
    )
    plinth: PlinthModel | None = None
    triangles: int | None = Field(None, ge=1000, le=20_000_000, description="simplify the mesh to so many")
    flatten: float = Field(0.0, ge=0, le=1, description="how much of the light baked into a scan's colours to take out")
    wash: WashModel | None = None
    parts: tuple[PartFinish, ...] = Field((), max_length=MOST_NAMES)

    _named_topcoat = field_validator("topcoat", mode="before")(_topcoat_gloss)

    @field_validator("mesh", mode="before")
    @classmethod
    def _not_empty(cls, value: Any) -> Any:
        if isinstance(value, list) and not value:
            raise ValueError("name one mesh file or more")
        return value

    @property
    def meshes(self) -> tuple[str, ...]:
        """The names of its mesh files, or that of a built-in model."""
        return (self.mesh,) if isinstance(self.mesh, str) else self.mesh
