"""The keys of stored results: a hash of the traced scene, and of the code, backend and tables that traced it."""

from __future__ import annotations

import importlib.metadata
from functools import cache

import numpy as np

from materials.colour.mixing import BROAD_LIMITS, mixing_spectra
from materials.colour.srgb import linear_srgb_under_d65, srgb_decode
from materials.light.observer import WAVELENGTHS_NM
from materials.surface.coherence import COHERENCE
from materials.surface.energy import (
    COSINES,
    MIN_ALPHA,
    body_coupling,
    diffuse_coupling,
    directional_albedo,
    hemispherical_albedo,
    multiply_scattered,
)
from materials.surface.saunderson import wetted
from render import kernel
from render.description.scene import Geometry
from render.images.bands import BAND_COUNT, CENTRES_NM, PLANE_COUNT, RANGE_NM, band_nodes
from render.kernel.backend import NoBackendError, choose_backend
from scenes.fingerprint import fingerprint

RENDERER = ("mitsuba", "drjit")
"""The packages that trace; their versions are part of every key."""


def result_key(kind: str, *inputs: object) -> str:
    """Return the key of a kind of result; `inputs` are plain data as `fingerprint` takes it, or a geometry.

    Raises
    ------
    NoBackendError
        If no backend can trace.
    """
    return f"{kind}-{fingerprint((provenance(), *map(_hashable, inputs)))}"


@cache
def provenance() -> str:
    """Return a hash of the versions of kernel and renderer, the backend, and the tables that the kernel reads."""
    return fingerprint((kernel.KERNEL_VERSION, _versions(), choose_backend().variant, tables()))


@cache
def provenance_facts() -> dict[str, str]:
    """Return, for people to read, what `provenance` is the hash of, and that hash itself."""
    versions = dict(zip(RENDERER, _versions(), strict=True))
    backend = choose_backend().variant
    return {"backend": backend, "kernel": str(kernel.KERNEL_VERSION), **versions, "provenance": provenance()}


def current_provenance() -> str | None:
    """Return the hash that results of this installation have, None where no backend can trace."""
    try:
        return provenance()
    except NoBackendError:
        return None


def _versions() -> tuple[str, ...]:
    return tuple(importlib.metadata.version(package) for package in RENDERER)


def tables() -> tuple[object, ...]:
    """Return the tables of colours, energy and bands that the kernel reads; functions are sampled."""
    alpha, index, flakes, flake_alpha = 0.2, 1.5, 0.5, 0.3
    facets = directional_albedo(alpha, index)
    return (
        WAVELENGTHS_NM,
        linear_srgb_under_d65(np.eye(WAVELENGTHS_NM.size)),
        srgb_decode(np.arange(256) / 255),
        *(BROAD_LIMITS, *mixing_spectra()),
        *(COSINES, MIN_ALPHA, COHERENCE, facets, hemispherical_albedo(facets), diffuse_coupling(facets)),
        *(body_coupling(alpha, index, flakes, flake_alpha), wetted(0.5, 0.6), multiply_scattered(0.5, 0.1, (0.3, 0.2))),
        *(BAND_COUNT, PLANE_COUNT, CENTRES_NM, RANGE_NM),
        *(values for band in range(BAND_COUNT) for values in band_nodes(band)),
    )


def _hashable(value: object) -> object:
    return value.fingerprint if isinstance(value, Geometry) else value  # its meshes are hashed once
