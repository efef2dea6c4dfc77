"""A hash of plain data that is equal for equal values."""

from __future__ import annotations

import hashlib
from dataclasses import fields, is_dataclass
from typing import Any

import numpy as np


def fingerprint(value: object) -> str:
    """Return a hash of plain data: dataclasses, arrays, numbers, text and tuples of them."""
    digest = hashlib.sha256()
    _feed(digest, value)
    return digest.hexdigest()[:32]


def _feed(digest: Any, value: object) -> None:
    if isinstance(value, np.ndarray):
        digest.update(f"{value.dtype}{value.shape}".encode())
        digest.update(np.ascontiguousarray(value).tobytes())
    elif is_dataclass(value):
        digest.update(type(value).__name__.encode())
        for field in fields(value):
            _feed(digest, getattr(value, field.name))
    elif isinstance(value, tuple):
        digest.update(f"({len(value)}".encode())
        for item in value:
            _feed(digest, item)
    else:
        digest.update(f"{type(value).__name__}:{value!r};".encode())
