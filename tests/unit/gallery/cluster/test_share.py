"""Shares of the work: all of it for each, from starts that lie apart."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from gallery.cluster.share import WHOLE, Share, read_share
from scenes.errors import InputError


@given(st.integers(0, 40), st.integers(1, 9))
def test_every_share_goes_through_all_work_once_and_the_starts_are_spread_evenly(pieces: int, count: int) -> None:
    work = list(range(pieces))
    orders = [Share(number, count).in_order(work) for number in range(1, count + 1)]
    assert all(sorted(order) == work for order in orders)
    if pieces >= count:
        starts = [order[0] for order in orders]
        apart = [after - before for before, after in zip(starts, [*starts[1:], pieces], strict=True)]
        assert starts[0] == 0
        assert max(apart) - min(apart) <= 1


def test_the_whole_is_in_its_own_order() -> None:
    assert WHOLE.in_order("abc") == ["a", "b", "c"]


@pytest.mark.parametrize(("typed", "share"), [("2/3", (2, 3)), (" 1/1 ", (1, 1)), ("0012/0400", (12, 400))])
def test_a_share_is_read(typed: str, share: tuple[int, int]) -> None:
    assert read_share(typed) == Share(*share)


@pytest.mark.parametrize("typed", ["4/3", "0/3", "1/0", "2", "2/", "/3", "2/3/4", "-1/3", "1.5/3", "١/٣", "1/99999"])
def test_what_is_no_share_is_refused_in_one_sentence(typed: str) -> None:
    with pytest.raises(InputError, match=r"^--share .*: give which share of how many, .* as 2/3$"):
        read_share(typed)
