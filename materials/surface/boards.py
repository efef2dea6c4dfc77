"""Boards, papers, foils and cloths: what stands round a model to bounce, block or spread light."""

from __future__ import annotations

from dataclasses import dataclass

from .finish import Finish
from .named_finishes import read_table


@dataclass(frozen=True)
class Board:
    """A board, paper, foil or cloth by its name, in words, and where its numbers are from.

    `reflectance` and `transmittance` are 0 to 1; `roughness` is the GGX alpha of a foil. What has a roughness is a
    metal, what lets light through a diffuser, all else matt.
    """

    reflectance: float
    description: str
    source: str
    roughness: float | None = None
    transmittance: float = 0.0

    @property
    def finish(self) -> Finish:
        """The board as a finish."""
        if self.roughness is not None:
            return Finish.metal(self.reflectance, self.roughness)
        if self.transmittance:
            return Finish.diffuser(self.reflectance, self.transmittance)
        return Finish.board(self.reflectance)


def named_boards() -> dict[str, Board]:
    """Return the boards, papers, foils and cloths of `boards.toml`."""
    return {name: Board(**values) for name, values in read_table("boards.toml").items()}


def board_finish(board: float | str) -> Finish:
    """Return the finish of a matt board of one reflectance, 0 to 1, or of a named one."""
    return named_boards()[board].finish if isinstance(board, str) else Finish.board(board)
