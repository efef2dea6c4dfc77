"""A share of the work, as of the jobs of an array: where a run starts, so that several rarely meet (`--share 2/3`)."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final, TypeVar

from scenes.errors import InputError

MOST_SHARES: Final = 9999

Item = TypeVar("Item")


@dataclass(frozen=True)
class Share:
    """The share `number`, counted from 1, of so many."""

    number: int
    shares: int

    def in_order(self, items: Sequence[Item]) -> list[Item]:
        """Return all items in the order of this share: from its own first one on, and round."""
        first = (self.number - 1) * len(items) // self.shares
        return [*items[first:], *items[:first]]


WHOLE: Final = Share(1, 1)


def read_share(typed: str) -> Share:
    """Return a share such as `2/3`.

    Raises
    ------
    InputError
        For other text, and for a number that is not from 1 to the count.
    """
    match = re.fullmatch(r"(\d{1,4})/(\d{1,4})", typed.strip(), re.ASCII)
    share = Share(int(match[1]), int(match[2])) if match else Share(0, 0)
    if not 1 <= share.number <= share.shares:
        raise InputError(
            f"--share {typed}: give which share of how many, from 1/N to N/N with an N up to {MOST_SHARES}, as 2/3"
        )
    return share
