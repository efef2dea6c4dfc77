"""What the cache says of its files: what each entry is for, by which installation it was traced, when it was used."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any, Final

from scenes.text import printable

from .container import DamagedError, open_regular, read_header
from .eviction import is_lease, is_unfinished

NAME_LENGTH: Final = 100
MOST_SETUPS: Final = 32
KINDS: Final = {
    "image": "lamp image",
    "passes": "unfinished lamp image",
    "gain": "denoised light",
    "halves": "halves of a lamp image",
    "noise": "noise of a lamp image",
    "round": "plan of a round",
    "features": "feature images",
    "meter": "irradiance",
    "small": "small images",
    "ambient-occlusion": "recesses",
}
"""By the word that a key begins with; any other is its own kind."""
DAMAGED: Final = "damaged"
UNFINISHED: Final = "unfinished file"
LEASE: Final = "lease"


@dataclass(frozen=True)
class Description:
    """What an entry is for; never part of its key.

    Parameters
    ----------
    setups
        Names of the setups that need it.
    pixels
        Width and height of an image.
    passes
        Number of passes of a lamp image.
    """

    setups: tuple[str, ...] = ()
    pixels: tuple[int, int] | None = None
    passes: int | None = None

    def as_json(self) -> dict[str, object]:
        """Return it as it stands in the header of a file, which has to be short."""
        return {**vars(self), "setups": [printable(setup, NAME_LENGTH) for setup in self.setups[:MOST_SETUPS]]}


@dataclass(frozen=True)
class Entry:
    """A file of the cache.

    Parameters
    ----------
    kind
        Such as `lamp image`, `unfinished lamp image`, or `damaged`.
    used_at
        Time of the last use, s since the epoch.
    title
        Of the arrangement that it was traced for.
    provenance
        Backend and versions that traced it (`keys.provenance_facts`).
    is_usable
        Whether this installation would read it: False of another backend's or version's, and of leftovers.
    """

    path: Path
    kind: str
    bytes: int
    used_at: float
    title: str = ""
    description: Description = Description()
    provenance: Mapping[str, str] = field(default_factory=dict)
    is_usable: bool = False


def read_entry(path: Path, size: int, used_at: float, current: str | None) -> Entry:
    """Return the entry in a file without reading its arrays; `current` is the provenance that is read here."""
    if is_unfinished(path.name) or is_lease(path.name):
        return Entry(path, LEASE if is_lease(path.name) else UNFINISHED, size, used_at)
    try:
        with open_regular(path) as file:
            header = read_header(file)
    except (OSError, DamagedError):
        return Entry(path, DAMAGED, size, used_at)
    about = {"title": "", **header.about}
    provenance = {name: about[name] for name in about if name not in {"title", *vars(Description())}}
    is_usable = current is not None and provenance.get("provenance") == current
    kind, description = _kind(header.key), _description(about)
    return Entry(path, kind, size, used_at, about["title"], description, provenance, is_usable)


def _description(about: Mapping[str, Any]) -> Description:
    pixels = about.get("pixels")
    return Description(tuple(about.get("setups", ())), (pixels[0], pixels[1]) if pixels else None, about.get("passes"))


def _kind(key: str) -> str:
    """Return the kind of a result by its key: `meter-16384-0f3a` is of irradiance."""
    word = re.sub(r"(-\d+)?-[0-9a-f]+$", "", key)
    return KINDS.get(word, word.replace("-", " "))
