"""What a worker has to have in common with the process that sends it work: else nobody would read what it traces."""

from __future__ import annotations

from typing import TypedDict

from render.images.store.keys import provenance_facts
from render.images.store.store import FOLDER_VARIABLE, default_folder


class UnfitWorkerError(RuntimeError):
    """A worker cannot do the work: its address, and what is said of it."""

    @property
    def address(self) -> str:
        """Where the worker is."""
        return str(self.args[0])

    def __str__(self) -> str:
        """Return the sentence."""
        return f"the worker at {self.args[0]} {self.args[1]}"


class Surroundings(TypedDict):
    """The name of a file in the store's folder; the backend and versions that trace, as `keys.provenance_facts`."""

    marker: str
    provenance: dict[str, str]


def require_same(surroundings: Surroundings, address: str) -> None:
    """Refuse to work in a worker whose surroundings are others.

    Raises
    ------
    UnfitWorkerError
        If it does not see the folder, or traces by another backend or version.
    """
    folder = default_folder()
    if not (folder / surroundings["marker"]).exists():
        raise UnfitWorkerError(
            address, f"does not see the shared cache in {folder}: start it with {FOLDER_VARIABLE} naming that folder"
        )
    here, wanted = provenance_facts(), surroundings["provenance"]
    if here["provenance"] != wanted["provenance"]:
        raise UnfitWorkerError(
            address, f"traces with {_versions(here)}, where the sheet is made with {_versions(wanted)}"
        )


def _versions(facts: dict[str, str]) -> str:
    return ", ".join(f"{name} {value}" for name, value in facts.items() if name != "provenance")
