"""The only code that imports Mitsuba and Dr.Jit, and does so on the first trace, not on import."""

from typing import Final

KERNEL_VERSION: Final = "one-trace-3"
"""Part of every stored result's key: change it when the same scene would trace differently."""
