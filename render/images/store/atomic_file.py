"""Files written whole or not at all."""

from __future__ import annotations

import os
from collections.abc import Callable
from contextlib import suppress
from pathlib import Path
from typing import IO, Any

from .leftovers import CREATING, LEFTOVERS


def write_atomically(path: Path, write: Callable[[IO[bytes]], Any]) -> None:
    """Call `write(file)` on a temporary file in the same folder, then rename it to `path`.

    The number of this process is in the temporary name, so that what a killed one has left can be told.

    Raises
    ------
    OSError
        Where it cannot be written; `filename` is that of `path`.
    """
    temporary = path.with_name(f".{path.name}.{os.getpid()}.{os.urandom(4).hex()}")
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        with CREATING:
            LEFTOVERS.add(temporary)
            file = temporary.open("xb")
        with file:
            write(file)
            file.flush()
            os.fsync(file.fileno())
        temporary.replace(path)
    except OSError as error:
        raise OSError(error.errno, error.strerror, str(path)) from error
    finally:
        with suppress(OSError):
            temporary.unlink()
        LEFTOVERS.discard(temporary)
