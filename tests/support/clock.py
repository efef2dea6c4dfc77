"""A clock that tests set."""

from __future__ import annotations


class FakeClock:
    """A clock that shows what `now` is set to."""

    def __init__(self, now: float = 0.0) -> None:
        self.now = now

    def __call__(self) -> float:
        """Return the time that it shows."""
        return self.now
