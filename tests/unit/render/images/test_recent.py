"""Values that were used last stay in memory."""

from __future__ import annotations

import threading
from concurrent.futures import ThreadPoolExecutor

from render.images.recent import Recent


def test_the_values_last_used_stay_and_others_are_made_anew() -> None:
    made: list[str] = []

    def get(key: str) -> str:
        return recent.get(key, lambda: made.append(key) or key.upper())  # type: ignore[func-returns-value]

    recent: Recent[str] = Recent(2, len)
    assert [get(key) for key in "abaca"] == list("ABACA")
    assert made == ["a", "b", "c"]
    get("b")
    assert made == ["a", "b", "c", "b"]


def test_a_value_too_large_is_made_each_time() -> None:
    recent: Recent[str] = Recent(2, len)
    assert recent.get("a", lambda: "one") == "one"
    assert recent.get("a", lambda: "two") == "two"


def test_what_two_threads_need_at_once_neither_waits_for() -> None:
    recent: Recent[str] = Recent(2, len)
    both = threading.Barrier(2, timeout=20.0)

    def make() -> str:
        both.wait()
        return "a"

    with ThreadPoolExecutor(2) as pool:
        assert list(pool.map(lambda _: recent.get("a", make), range(2))) == ["a", "a"]
    assert recent.get("a", lambda: "anew") == "a"
