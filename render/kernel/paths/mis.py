"""Multiple importance sampling: weights of the two ways in which a path finds the light of an emitter.

The power heuristic with an exponent of 2 (Veach, "Robust Monte Carlo Methods for Light Transport Simulation", 1997).
"""

from __future__ import annotations

from typing import Any


def emitter_sampling_weight(emitter_pdf: Any, bsdf_pdf: Any) -> Any:
    """Return the MIS weight of a sample of an emitter."""
    return _power_heuristic(emitter_pdf, bsdf_pdf)


def bsdf_sampling_weight(bsdf_pdf: Any, emitter_pdf: Any) -> Any:
    """Return the MIS weight of an emitter that a path hits in a direction sampled from the BSDF."""
    return _power_heuristic(bsdf_pdf, emitter_pdf)


def _power_heuristic(pdf: Any, other_pdf: Any) -> Any:
    """Return pdf^2 / (pdf^2 + other_pdf^2)."""
    import drjit as dr

    return dr.rcp(1.0 + dr.square(other_pdf / pdf))
