"""How far work is, on stderr: a bar on a terminal, a line a minute where there is none."""

from __future__ import annotations

import threading
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from datetime import datetime
from typing import TYPE_CHECKING, Final, NamedTuple

from gallery.terminal import print_note
from scenes.text import printable

from .duration import duration_words

if TYPE_CHECKING:
    from rich.console import Console, RenderableType

LINE_EVERY_S: Final = 60.0
BAR_WIDTH: Final = 30


class Status(NamedTuple):
    """What is being done, how much of it is done, and the seconds left until the end of all."""

    doing: str
    share: float
    seconds_left: float
    is_rough: bool = False
    note: str = ""

    @property
    def line(self) -> str:
        """The status in words: `round 7, 38 %; 1 h 50 min left; grain up to 1.8 % (rim)`."""
        return "; ".join(filter(None, (f"{self.doing}, {self.percent}", self.left, self.note)))

    @property
    def percent(self) -> str:
        """How much is done."""
        return f"{int(self.share * 100)} %"

    @property
    def left(self) -> str:
        """The time left."""
        return f"{'about ' if self.is_rough else ''}{duration_words(self.seconds_left)} left"


@contextmanager
def shown(status: Callable[[], Status], every_s: float = LINE_EVERY_S) -> Iterator[None]:
    """Show a status, which is asked for anew each time, until the end of the context."""
    from rich.console import Console

    console = Console(stderr=True)
    with _bar(status, console) if console.is_terminal else _lines(status, every_s):
        yield


@contextmanager
def _bar(status: Callable[[], Status], console: Console) -> Iterator[None]:
    """Show a status as a bar, until the end of the context."""
    from rich.live import Live
    from rich.progress_bar import ProgressBar
    from rich.table import Table
    from rich.text import Text

    def bar() -> RenderableType:
        now = status()
        grid = Table.grid(padding=(0, 1))
        words = (now.doing, now.percent, now.left, now.note)
        doing, percent, left, note = (Text(printable(each), no_wrap=True, overflow="ellipsis") for each in words)
        grid.add_row(doing, ProgressBar(total=1.0, completed=now.share, width=BAR_WIDTH), percent, left, note)
        return grid

    with Live(console=console, get_renderable=bar, transient=True):
        yield


@contextmanager
def _lines(status: Callable[[], Status], every_s: float) -> Iterator[None]:
    """Print a status as a line now and then, until the end of the context."""
    ended = threading.Event()

    def print_until_end() -> None:
        while not ended.wait(every_s):
            print_note(f"{datetime.now():%H:%M} {status().line}")

    threading.Thread(target=print_until_end, daemon=True).start()
    try:
        yield
    finally:
        ended.set()
