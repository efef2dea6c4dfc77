"""The keys and values that files of arrangements, kits and setups know, from their JSON Schemas, and odd ones."""

from __future__ import annotations

import random
from collections.abc import Collection, Iterator, Mapping
from dataclasses import dataclass
from functools import cache
from typing import Any, Final

from pydantic import BaseModel

from materials.light.illuminants import illuminant_names
from materials.surface.boards import named_boards
from materials.surface.metals import named_metals
from materials.surface.named_finishes import named_finishes
from scenes.arrangement.arrangement import ROOM_LUX, Arrangement
from scenes.arrangement.cards.paper_sizes import paper_sizes
from scenes.arrangement.kit_model import Kit
from scenes.arrangement.lamp_model import SPECTRA, lamp_presets
from scenes.setups.setup import Setup

from .files import ODD_NAMES
from .trees import ODD_VALUES

COLOURS: Final = (
    "#ff00ff", "#FFF", "#00000000", "lab(52, 41, 30)", "lab(1e9, 0, 0)", "lab(100, 128, 128)", "lab-d50(0, 0, 0)",
    "5YR 5/6", "N 5", "N 99", "5YR 0/40", "10GY 9.9/0.1", "9" * 400 + "YR 5/6", "lab(9999, 9999, 9999)", "N 0",
)  # fmt: skip
CARD_WORDS: Final = (
    "A4 white paper", "30 x 40 cm black foam board", "8,5 \u00d7 11 in copy paper", "A4 A3 paper", "30x40 black card",
    "99999999999 x 0 mm foil", "A4", "1 x 1 cm", "black kitchen foil",
)  # fmt: skip
ODD_KEYS: Final = ("", "x" * 500, "\x1b[31m", "a.b", "\u202e", "__class__", "model_config")


@dataclass(frozen=True)
class SchemaVocabulary:
    """What the JSON Schemas of the files say: the properties of each table, and words that stand in any of them."""

    tables: tuple[Mapping[str, Any], ...]
    words: tuple[str, ...]

    def key(self, table: Collection[str], draw: random.Random) -> str:
        """Return a key, mostly of the table that a table looks like."""
        if draw.random() < 0.1:
            return draw.choice(ODD_KEYS)
        like = max(self.tables, key=lambda properties: len(properties.keys() & set(table)))
        properties = like if table and draw.random() < 0.8 else draw.choice(self.tables)
        return draw.choice(list(properties))

    def value(self, key: str, draw: random.Random) -> Any:
        """Return a value, as often as not of the kind that the key takes."""
        if draw.random() < 0.6:
            return self.suitable(key, draw)
        return draw.choice(ODD_VALUES) if draw.random() < 0.5 else self._word(draw)

    def suitable(self, key: str, draw: random.Random) -> Any:
        """Return a value of the kind that the key takes, in its limits and at them."""
        schemas = [properties[key] for properties in self.tables if key in properties]
        return self._suitable(draw.choice(schemas), draw) if schemas else self._word(draw)

    def _suitable(self, schema: Mapping[str, Any], draw: random.Random) -> Any:
        if "anyOf" in schema:
            return self._suitable(draw.choice(schema["anyOf"]), draw)
        if "enum" in schema or "const" in schema:
            return draw.choice(schema.get("enum", [schema.get("const")]))
        match schema.get("type"):
            case "number" | "integer":
                return _number(schema, draw)
            case "boolean":
                return draw.random() < 0.5
            case "array":
                items = schema.get("prefixItems") or draw.choice([0, 1, 2]) * [schema["items"]]
                return [self._suitable(item, draw) for item in items]
            case _:
                return self._word(draw)

    def _word(self, draw: random.Random) -> str:
        return draw.choice(draw.choice((self.words, COLOURS, ODD_NAMES)))


@cache
def vocabulary() -> SchemaVocabulary:
    """Return what is known of arrangements, kits and setups."""
    models: tuple[type[BaseModel], ...] = (Arrangement, Kit, Setup)
    schemas = [table for model in models for table in _inside(model.model_json_schema())]
    words = {word for schema in schemas for word in _words(schema)}
    words |= {called for board in named_boards().values() for called in board.also} | {*paper_sizes(), *CARD_WORDS}
    words |= {*named_boards(), *named_metals(), *named_finishes(), *lamp_presets(), *illuminant_names()}
    words |= {*ROOM_LUX, *SPECTRA, *schemas[0].get("properties", {})}
    return SchemaVocabulary(tuple(s["properties"] for s in schemas if "properties" in s), tuple(sorted(words)))


def _number(schema: Mapping[str, Any], draw: random.Random) -> float:
    low = schema.get("minimum", schema.get("exclusiveMinimum", -1000))
    high = schema.get("maximum", schema.get("exclusiveMaximum", 1000))
    number: float = draw.choice(
        [low, high, 0, 1e-200, draw.uniform(low, high), low + (high - low) * draw.random() ** 4]
    )
    return round(number) if schema["type"] == "integer" else number


def _words(schema: Mapping[str, Any]) -> Iterator[str]:
    found = [*schema.get("enum", ()), schema.get("const"), schema.get("default")]
    yield from (word for word in found if isinstance(word, str))


def _inside(schema: Any) -> Iterator[dict[str, Any]]:
    if isinstance(schema, dict):
        yield schema
    for inner in schema.values() if isinstance(schema, dict) else schema if isinstance(schema, list) else ():
        yield from _inside(inner)
