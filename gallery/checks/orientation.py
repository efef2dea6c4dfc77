"""Whether a model may stand the wrong way: an orientation that looks likelier, and what speaks for it."""

from __future__ import annotations

from typing import NamedTuple

from scenes.arrangement.resolving import ResolvedArrangement
from scenes.subject.axes import USUAL_FRONT
from scenes.subject.orientation.ranking import (
    Orientation,
    current_orientation,
    likelier_than,
    opposite,
    reason_for,
)


class Likelier(NamedTuple):
    """An orientation likelier than the one in use, what speaks for it, and whether another side is up in it."""

    orientation: Orientation
    reason: str
    is_other_side_up: bool

    @property
    def options(self) -> str:
        """The options that name it; of the front none where it is the usual one."""
        up, front = self.orientation.up, self.orientation.front
        if not self.is_other_side_up:
            return f"--front {front}"
        return f"--up {up}" if front == USUAL_FRONT[up] else f"--up {up} --front {front}"

    @property
    def facts(self) -> dict[str, str]:
        """The axes of the file that point up and that the face looks along, and the reason, as plain data."""
        return {"up": self.orientation.up, "front": self.orientation.front, "reason": self.reason}

    @property
    def was_taken(self) -> str:
        """What to say where it is taken."""
        return f"{self.options} was guessed ({self.reason})"

    @property
    def doubt(self) -> str:
        """What to say of the model as it stands."""
        if self.is_other_side_up:
            return (
                f"it may stand the wrong way: {self.options} looks likelier ({self.reason}); check --picture draws both"
            )
        other = opposite(self.orientation.front)
        ends = f"{self.options} looks likelier, or --front {other}"
        return f"it may show its flank: {ends} ({self.reason}); check --picture draws them"


def likelier_orientation(arrangement: ResolvedArrangement) -> Likelier | None:
    """Return a clearly likelier orientation of an arrangement's model, or None; what it declares is not doubted."""
    declared, model = arrangement.declared.subject, arrangement.model
    current = current_orientation(model) if model is not None else None
    if declared is None or current is None or declared.front is not None:
        return None
    ranked = arrangement.ranked_orientations
    if declared.up is not None:
        ranked = tuple(orientation for orientation in ranked if orientation.up == declared.up)
    found = likelier_than(current, ranked)
    if found is None:
        return None
    return Likelier(found, reason_for(found, current, ranked), found.up != current[0])
