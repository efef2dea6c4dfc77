"""How much is traced: the samples of a pass, and what a launch traces at once, by backend."""

from __future__ import annotations

from typing import Final, NamedTuple

PASS_SAMPLES: Final = 14
BACKDROP_PASS_SAMPLES: Final = 4
"""Of a pass where there is only backdrop, whose error is under a hundredth of the subject's."""


class Workload(NamedTuple):
    """How many lamps share a path, how many wavelengths a path has, and how many passes a launch traces."""

    lamps: int
    wavelengths: int
    passes: int


WORKLOADS: Final = {"llvm": Workload(8, 12, 1), "cuda": Workload(1, 4, 16), "metal": Workload(1, 4, 16)}
"""Measured on two cores and on an H100. On a GPU the state of several lamps spills out of the registers at every ray,
so that two lamps take longer together than one after the other; and a single pass takes longer to copy than to trace.
"""


def workload_of(variant: str) -> Workload:
    """Return the workload of one of Mitsuba's variants, such as `llvm_ad_spectral`."""
    return WORKLOADS[variant.partition("_")[0]]
