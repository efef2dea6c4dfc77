"""The GPUs of this machine, counted without the renderer: it would take the first one for good."""

from __future__ import annotations

import os
import subprocess
from pathlib import Path
from typing import Final

CARD_VARIABLE: Final = "CUDA_VISIBLE_DEVICES"
DRIVER_FOLDER: Final = Path("/proc/driver/nvidia/gpus")


def visible_cards() -> list[str]:
    """Return the NVIDIA cards that this process may use, as CUDA_VISIBLE_DEVICES names them; empty without any."""
    named = os.environ.get(CARD_VARIABLE)
    if named is not None:
        return [card.strip() for card in named.split(",") if card.strip()]
    return [str(number) for number in range(_count_cards())]


def _count_cards() -> int:
    try:
        listed = subprocess.run(["nvidia-smi", "-L"], capture_output=True, text=True, timeout=30, check=True).stdout
    except (OSError, subprocess.SubprocessError):
        return len(list(DRIVER_FOLDER.glob("*")))
    return sum(line.startswith("GPU ") for line in listed.splitlines())
