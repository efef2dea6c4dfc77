"""Facts on disk, as JSON."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

from render.images.store.atomic_file import write_atomically


def write_facts(path: Path, facts: dict[str, Any]) -> None:
    """Write facts as JSON, whole or not at all."""
    text = json.dumps(facts, indent=1) + "\n"
    write_atomically(path, lambda file: file.write(text.encode()))
