"""Values that were used last, as many as a share of the memory holds."""

from __future__ import annotations

import threading
from collections.abc import Callable
from typing import Generic, TypeVar

T = TypeVar("T")


class Recent(Generic[T]):
    """The values last used, by key: together of `most_bytes` at most, as `bytes_of` says of each.

    It may be used by several threads: what two of them need at once is made twice, and is not waited for.
    """

    def __init__(self, most_bytes: int, bytes_of: Callable[[T], int]) -> None:
        self.most_bytes = most_bytes
        self._bytes_of = bytes_of
        self._values: dict[object, T] = {}
        self._changing = threading.Lock()

    def get(self, key: object, make: Callable[[], T]) -> T:
        """Return the value of a key, made if it is not in memory."""
        value = self._values.get(key)
        if value is None:
            value = make()
        with self._changing:
            self._values.pop(key, None)
            self._values[key] = value
            while sum(map(self._bytes_of, self._values.values())) > self.most_bytes:
                del self._values[next(iter(self._values))]
        return value
