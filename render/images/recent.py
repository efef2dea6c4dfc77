"""Values that were used last, as many as a share of the memory holds."""

from __future__ import annotations

from collections.abc import Callable
from typing import Generic, TypeVar

T = TypeVar("T")


class Recent(Generic[T]):
    """The values last used, by key: together of `most_bytes` at most, as `bytes_of` says of each."""

    def __init__(self, most_bytes: int, bytes_of: Callable[[T], int]) -> None:
        self.most_bytes = most_bytes
        self._bytes_of = bytes_of
        self._values: dict[object, T] = {}

    def get(self, key: object, make: Callable[[], T]) -> T:
        """Return the value of a key, made if it is not in memory."""
        value = self._values.pop(key) if key in self._values else make()
        self._values[key] = value
        while sum(map(self._bytes_of, self._values.values())) > self.most_bytes:
            del self._values[next(iter(self._values))]
        return value
