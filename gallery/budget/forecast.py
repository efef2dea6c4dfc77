"""When a goal will be reached, of the round under way and the rounds that follow from it."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Final

from render.allocation.schedule import GROWTH, UNIFORM

from .goal import Goal

USUAL_GRAIN: Final = 0.005
"""Of the coarsest frame after the uniform rounds, until it is measured: that of the demo at 480x640."""

USUAL_FALL: Final = 0.4
"""Power of the cost of all passes by which that falls."""


@dataclass(frozen=True)
class RoundUnderWay:
    """The round that is being worked on.

    Parameters
    ----------
    number
        Of the rounds that are complete.
    spent
        The cost of the passes of those.
    cost
        Of this one; what it costs beside its passes, as setting geometries up, is as much in each round.
    enough
        What all passes are likely to cost when the grain wanted is reached; None before noise is measured.
    """

    number: int
    spent: float
    cost: float
    enough: float | None = None

    def following(self) -> RoundUnderWay:
        """Return the round after this one, about as it will be."""
        of_passes = min(self.cost, self.spent * _growth(self.number)) if self.number else self.cost
        number, spent = self.number + 1, self.spent + of_passes
        return RoundUnderWay(number, spent, spent * _growth(number) + self.cost - of_passes, self.enough)


def seconds_to_goal(
    goal: Goal, under_way: RoundUnderWay, left_s: float, seconds_per_cost: float, remake_s: float
) -> float:
    """Return the seconds until a sheet's last round is complete and the sheet remade.

    The last round is the one that reaches the goal, or that ends before the deadline as no further one would.

    Parameters
    ----------
    left_s
        Seconds until the round under way is complete.
    remake_s
        Seconds that remaking takes.
    """
    until_s = goal.seconds_left() - remake_s
    most, enough, end_s = goal.rounds or math.inf, _enough(goal, under_way), left_s
    if under_way.cost and not under_way.number and most > 1:  # the draft is made on disk before the next round
        end_s += remake_s
    following = under_way.following()
    while following.number < most and following.spent < enough:
        round_s = following.cost * seconds_per_cost
        if not round_s or end_s + round_s > until_s:  # of a run that has just begun, no round is known yet
            break
        following, end_s = following.following(), end_s + round_s
    return max(0.0, min(end_s, until_s)) + remake_s


def _growth(number: int) -> float:
    """Return what the passes of the round after so many cost, over those of all before."""
    return UNIFORM[number] / UNIFORM[number - 1] - 1 if number < len(UNIFORM) else GROWTH


def _enough(goal: Goal, under_way: RoundUnderWay) -> float:
    """Return the cost at which the grain wanted is reached; infinite where none is."""
    if goal.grain is None:
        return math.inf
    if under_way.enough is not None:
        return under_way.enough
    while under_way.number < len(UNIFORM):
        under_way = under_way.following()
    return under_way.spent * max(1.0, math.pow(USUAL_GRAIN / goal.grain, 1 / USUAL_FALL))
