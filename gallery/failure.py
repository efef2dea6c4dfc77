"""Errors as the sentences that a person reads, and the exit status that they end in."""

from __future__ import annotations

import errno
from dataclasses import dataclass
from typing import Final

from scenes.errors import InputError

UNUSABLE_NAME: Final = (errno.ENAMETOOLONG, errno.ELOOP)
"""System errors that are the fault of a file name given by the user."""
FAILED, WRONG_INPUT = 1, 2


@dataclass(frozen=True)
class Failure:
    """Why something was not done, a sentence for each reason; `status` is `FAILED` while working, or `WRONG_INPUT`."""

    sentences: tuple[str, ...]
    status: int


def failure_of(error: Exception) -> Failure | None:
    """Return what an error says to a person; None of one that only a mistake in the program raises."""
    if isinstance(error, InputError):
        return Failure(error.sentences, WRONG_INPUT)
    if isinstance(error, OSError):
        if error.errno in UNUSABLE_NAME:
            unusable = f"{error.filename}: no file can be called so ({error.strerror}); name another"
            return Failure((unusable,), WRONG_INPUT)
        where = f"{error.filename}: " if error.filename else ""
        return Failure((f"{where}{(error.strerror or str(error)).lower()}",), FAILED)
    if isinstance(error, MemoryError):
        return Failure(("there is not enough memory for it",), FAILED)
    return Failure((str(error),), FAILED) if isinstance(error, RuntimeError) else None
