"""Under which key a result is stored: a hash of what it depicts and of all that had a hand in it."""

from __future__ import annotations

import importlib.metadata
from functools import cache

import numpy as np

from materials.colour.primaries import spectral_primaries
from materials.colour.srgb import linear_srgb_under_d65, srgb_decode
from materials.light.observer import WAVELENGTHS_NM
from materials.surface.energy import (
    COSINES,
    MIN_ALPHA,
    body_coupling,
    diffuse_coupling,
    directional_albedo,
    hemispherical_albedo,
)
from render import kernel
from render.description.scene import Geometry
from render.kernel.backend import choose_backend
from scenes.fingerprint import fingerprint

from .bands import BAND_COUNT, CENTRES_NM, RANGE_NM, band_nodes

RENDERER = ("mitsuba", "drjit")
"""The packages whose code traces."""


def result_key(what: str, *depicted: object) -> str:
    """Return the key of a kind of result, `what`, of plain data as `fingerprint` takes it.

    Raises
    ------
    NoBackendError
        Where nothing here can trace.
    """
    return f"{what}-{fingerprint((provenance(), *map(_hashed, depicted)))}"


@cache
def provenance() -> str:
    """Return a hash of the kernel, the renderer, the backend, and the tables that every trace reads."""
    versions = tuple(importlib.metadata.version(package) for package in RENDERER)
    return fingerprint((kernel.KERNEL_VERSION, versions, choose_backend().variant, tables()))


def tables() -> tuple[object, ...]:
    """Return the tables that the kernel reads of colours, energy and bands, functions by some of their values."""
    alpha, index, flakes, flake_alpha = 0.2, 1.5, 0.5, 0.3
    facets = directional_albedo(alpha, index)
    return (
        WAVELENGTHS_NM,
        linear_srgb_under_d65(np.eye(WAVELENGTHS_NM.size)),
        srgb_decode(np.arange(256) / 255),
        spectral_primaries(),
        *(COSINES, MIN_ALPHA, facets, hemispherical_albedo(facets), diffuse_coupling(facets)),
        body_coupling(alpha, index, flakes, flake_alpha),
        *(BAND_COUNT, CENTRES_NM, RANGE_NM),
        *(values for band in range(BAND_COUNT) for values in band_nodes(band)),
    )


def _hashed(depicted: object) -> object:
    return depicted.fingerprint if isinstance(depicted, Geometry) else depicted  # hash the meshes once
