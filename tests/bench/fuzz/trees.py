"""Damage to data of tables and lists: values replaced, keys renamed, moved, added and left out; and how it is TOML."""

from __future__ import annotations

import json
import math
import random
from collections.abc import Collection, Mapping
from typing import Any, Final, Protocol

ODD_VALUES: Final[tuple[Any, ...]] = (
    0, -1, 1, 2**31, 2**63, 10**400, 1e308, 1e300, -1e300, 1e-160, -0.0, -0.5, 0.5, 90, math.nan, math.inf, -math.inf,
    None, "", "x", "*", "[", "x" * 1000, "x" * 50_000, "\x1b[2J", "\u202eabc", "\0", "a\nb", "\u00e9" * 20, [], {}, [0],
    [[]], True, False, [1e300, 0, 10], ["*"] * 300, {"x": 1}, [{}], [0, 0, 0], [0.0, 0.0], ["a", 1], list(range(300)),
)  # fmt: skip
"""What a value is replaced by."""
DEEP: Final = 40


class Vocabulary(Protocol):
    """What is known of the data to be damaged."""

    def key(self, table: Collection[str], draw: random.Random) -> str:
        """Return another key, for a table that has some."""

    def value(self, key: str, draw: random.Random) -> Any:
        """Return another value, for a key."""

    def suitable(self, key: str, draw: random.Random) -> Any:
        """Return a value of the kind that a key takes."""


class GltfVocabulary:
    """Keys and values of a glTF, none suited to a key."""

    KEYS: Final = (
        "accessors", "attributes", "buffer", "bufferView", "byteOffset", "byteStride", "children", "count",
        "extensions", "indices", "matrix", "mesh", "normalized", "scale", "sparse", "uri",
    )  # fmt: skip
    VALUES: Final[tuple[Any, ...]] = (0, -1, 1, 2**31, 2**63, 1e308, -0.5, None, "", "x", [], {}, [0], True)

    def key(self, _table: Collection[str], draw: random.Random) -> str:
        """Return a key."""
        return draw.choice(self.KEYS)

    def value(self, _key: str, draw: random.Random) -> Any:
        """Return a value."""
        return draw.choice(self.VALUES)

    suitable = value


def alter_tree(tree: Any, draw: random.Random, vocabulary: Vocabulary) -> Any:
    """Return a copy of data of tables and lists with one value in it replaced by another of its kind."""
    tree = json.loads(json.dumps(tree))
    here: Any = tree
    while here:
        step = draw.choice(list(here) if isinstance(here, dict) else range(len(here)))
        value = here[step]
        if isinstance(value, dict) or (isinstance(value, list) and value and isinstance(value[0], dict)):
            here = value
            continue
        here[step] = vocabulary.suitable(step, draw)
        break
    return tree


def damage_tree(tree: Any, draw: random.Random, vocabulary: Vocabulary) -> Any:
    """Return a copy of data of tables and lists with one thing in it changed."""
    tree = json.loads(json.dumps(tree))
    here, key = tree, ""
    for _ in range(draw.randrange(1, 6)):
        steps = list(here) if isinstance(here, dict) else list(range(len(here)))
        if not steps:
            break
        step = draw.choice(steps)
        key = step if isinstance(step, str) else key
        if isinstance(here[step], (dict, list)) and draw.random() < 0.85:
            here = here[step]
            continue
        _change(here, step, key, draw, vocabulary)
        return tree
    _add(here, key, draw, vocabulary)
    return tree


def _change(here: Any, step: Any, key: str, draw: random.Random, vocabulary: Vocabulary) -> None:
    way = draw.random()
    if way < 0.1:
        del here[step]
    elif way < 0.2 and isinstance(here, dict):
        here[vocabulary.key(here, draw)] = here.pop(step)
    elif way < 0.23:
        here[step] = [here[step]] if draw.random() < 0.5 else {vocabulary.key((), draw): here[step]}
    elif way < 0.35:
        _add(here, key, draw, vocabulary)
    elif way < 0.37:
        for _ in range(draw.choice([2, DEEP])):
            here[step] = [here[step]]
    elif way < 0.45 and len(here) > 1:
        other = draw.choice([each for each in (here if isinstance(here, dict) else range(len(here))) if each != step])
        here[step], here[other] = here[other], here[step]
    elif way < 0.55 and isinstance(here[step], (int, float)):
        here[step] = draw.uniform(-2, 4) * here[step]
    else:
        here[step] = vocabulary.value(key, draw)


def _add(here: Any, key: str, draw: random.Random, vocabulary: Vocabulary) -> None:
    if isinstance(here, dict):
        key = vocabulary.key(here, draw)
        here[key] = vocabulary.value(key, draw)
        return
    for _ in range(draw.choice([1, 1, 60])):
        here.append(draw.choice(here) if here and draw.random() < 0.7 else vocabulary.value(key, draw))


def toml(tree: Mapping[str, Any]) -> bytes:
    """Return data as TOML, a line for each key of its outermost table; what TOML has none of, as nothing at all."""
    lines = (f"{_text(key)} = {_toml(value)}\n" for key, value in tree.items())
    return "".join(lines).encode("utf-8", "surrogatepass")


def _toml(value: Any) -> str:
    if isinstance(value, dict):
        return f"{{{', '.join(f'{_text(key)} = {_toml(each)}' for key, each in value.items())}}}"
    if isinstance(value, list):
        return f"[{', '.join(map(_toml, value))}]"
    if isinstance(value, str):
        return _text(value)
    if value is None:
        return ""
    return str(value).lower()


def _text(text: str) -> str:
    return json.dumps(text, ensure_ascii=False).replace("\x7f", "\\u007f")
