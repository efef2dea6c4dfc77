"""Colours that tell parts apart, for eyes that are colour-blind too."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import Final

import numpy as np
from numpy.typing import NDArray

COLOURS: Final = (
    (230, 159, 0), (86, 180, 233), (0, 158, 115), (240, 228, 66), (0, 114, 178), (213, 94, 0), (204, 121, 167),
)  # fmt: skip
"""sRGB. Okabe and Ito, Color Universal Design (2008), their set without black; Wong, Nature Methods 8, 441 (2011)."""


def part_colours(sizes: Sequence[int], touching: Iterable[tuple[int, int]]) -> NDArray[np.intp]:
    """Return which of `COLOURS` each part takes, so that parts that touch in a picture differ where seven suffice.

    Parameters
    ----------
    sizes
        How much of each part is seen: the larger choose first.
    touching
        Pairs of parts that lie side by side.
    """
    neighbours: list[set[int]] = [set() for _ in sizes]
    for one, other in touching:
        neighbours[one].add(other)
        neighbours[other].add(one)
    taken = np.full(len(sizes), -1)
    used = [0] * len(COLOURS)
    for part in sorted(range(len(sizes)), key=lambda i: (-sizes[i], i)):
        around = [taken[neighbour] for neighbour in neighbours[part]]
        taken[part] = min(range(len(COLOURS)), key=lambda colour: (around.count(colour), used[colour], colour))
        used[taken[part]] += 1
    return taken


def touching_parts(indices: NDArray[np.int32]) -> set[tuple[int, int]]:
    """Return the pairs of parts whose pixels lie side by side in a picture of part indices, (height, width)."""
    pairs = [(indices[:, :-1], indices[:, 1:]), (indices[:-1], indices[1:])]
    beside = np.concatenate([np.stack([one.ravel(), other.ravel()], axis=1) for one, other in pairs])
    beside = np.unique(np.sort(beside[beside[:, 0] != beside[:, 1]], axis=1), axis=0)
    return {(int(one), int(other)) for one, other in beside if one >= 0}
