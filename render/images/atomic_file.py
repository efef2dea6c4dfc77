"""Files written whole or not at all."""

from __future__ import annotations

import os
import tempfile
from collections.abc import Callable
from pathlib import Path
from typing import IO, Any


def write_atomically(path: Path, write: Callable[[IO[bytes]], Any]) -> None:
    """Call `write(file)` on a temporary file in the same folder, then rename it to `path`.

    The number of this process is in the temporary name, so that what a killed one has left can be told.
    """
    path.parent.mkdir(parents=True, exist_ok=True)
    handle, name = tempfile.mkstemp(dir=path.parent, prefix=f".{path.name}.{os.getpid()}.")
    temporary = Path(name)
    try:
        with os.fdopen(handle, "wb") as file:
            write(file)
            file.flush()
            os.fsync(file.fileno())
        temporary.chmod(0o644)
        temporary.replace(path)
    finally:
        temporary.unlink(missing_ok=True)
