"""The declared finishes of a subject's parts, with every colour as a reflectance."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Final

from materials.light.spectra import Spectrum
from materials.surface.finish import Finish
from scenes.arrangement.subject_model import PartFinish, SubjectModel

from .subject import Part

ReflectanceOf = Callable[[str, str], Spectrum]
"""From a key and the colour that it states to its reflectance, (351,)."""


@dataclass(frozen=True, eq=False)
class PartRule:
    """The finish declared for the parts that a wildcard matches, and its base as a reflectance, or None."""

    declared: PartFinish
    base: Spectrum | None


@dataclass(frozen=True, eq=False)
class Wash:
    """A thin dark paint that settles in recesses: the parts it covers, its strength, and its reflectance (351,)."""

    match: tuple[str, ...]
    strength: float
    colour: Spectrum

    def covers(self, part: Part) -> bool:
        """Return whether it covers a part."""
        return any(map(part.matches, self.match))


@dataclass(frozen=True, eq=False)
class PartFinishes:
    """The finishes of all parts: of the rules that match a part the last applies, and the topcoat covers it."""

    rules: tuple[PartRule, ...] = ()
    topcoat: float | None = None
    no_topcoat: tuple[str, ...] = ()
    wash: Wash | None = None
    plinth: Finish | None = None

    def rule_of(self, part: Part) -> PartRule:
        """Return the rule that applies to a part."""
        return next((rule for rule in reversed(self.rules) if part.matches(rule.declared.match)), UNDECLARED)

    def topcoat_of(self, part: Part) -> float | None:
        """Return the gloss units of the topcoat over a part, or None."""
        return None if any(map(part.matches, self.no_topcoat)) else self.topcoat


UNDECLARED: Final = PartRule(PartFinish(), None)
"""Of a part that no rule matches."""


def part_finishes(
    declared: SubjectModel, reflectance_of: ReflectanceOf, usual: tuple[PartFinish, ...] = ()
) -> PartFinishes:
    """Return the finishes of a subject; the `usual` ones of a stand-in come before those that are declared."""
    rules = [PartRule(part, reflectance_of("", part.base) if part.base else None) for part in usual]
    for i, part in enumerate(declared.parts, 1):
        key = f"subject.parts[{i}].base"
        rules.append(PartRule(part, reflectance_of(key, part.base) if part.base else None))
    wash, plinth = None, None
    if (declared_wash := declared.wash) is not None:
        wash = Wash(
            declared_wash.match, declared_wash.strength, reflectance_of("subject.wash.colour", declared_wash.colour)
        )
    if (declared_plinth := declared.plinth) is not None:
        plinth = Finish.plastic(reflectance_of("subject.plinth.base", declared_plinth.base), declared_plinth.gloss)
    return PartFinishes(
        rules=tuple(rules),
        topcoat=declared.topcoat,
        no_topcoat=declared.no_topcoat,
        wash=wash,
        plinth=plinth,
    )
