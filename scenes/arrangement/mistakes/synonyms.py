"""Words that builders write for keys, kinds and finishes, and what is meant by them."""

from __future__ import annotations

from collections.abc import Collection, Iterable
from typing import Any

from materials.packaged import packaged_toml
from scenes.errors import nearest


def meant_key(name: str, keys: Collection[str]) -> str | None:
    """Return a hint at the key that is meant by another word for it; None where none is."""
    return _hint(key for key in _table()["keys"].get(name.lower(), ()) if key in keys) or None


def meant_kind(word: str, kinds: Collection[str]) -> str:
    """Return a hint at the kind that a word is one of, or at the nearest spelling; empty where nothing is near."""
    kind = _table()["kind"].get(word.lower())
    return _hint(kind for kind in (kind,) if kind in kinds) or _near(word, kinds)


def finish_name(word: str) -> str:
    """Return a finish by the name that it has here: `matt` of matte, `semi-gloss` of semi gloss."""
    plain = " ".join(word.lower().replace("_", " ").split())
    return str(_table()["finish"].get(plain, plain))


def _near(word: str, choices: Iterable[str]) -> str:
    hint = nearest(word, choices)
    return hint if "did you mean" in hint else ""


def _hint(meant: Iterable[Any]) -> str:
    return next((f" (did you mean '{word}'?)" for word in meant), "")


def _table() -> dict[str, dict[str, Any]]:
    return packaged_toml("scenes.arrangement.mistakes", "synonyms.toml")
