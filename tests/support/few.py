"""Parameters of which a few are tested always and the others where there is time."""

from __future__ import annotations

from collections.abc import Collection, Iterable

import pytest


def few_plain(values: Iterable[str], few: Collection[str]) -> list[object]:
    """Return parameters for `parametrize`; those not among `few` are slow."""
    return [value if value in few else pytest.param(value, marks=pytest.mark.slow) for value in values]
