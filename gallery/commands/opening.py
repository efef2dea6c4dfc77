"""What a command opens before it starts: its arrangement or its finished sheet, and the cache."""

from __future__ import annotations

import math
import time
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING

from gallery.interruption import INTERRUPTION
from gallery.terminal import print_note
from scenes.text import printable

from .options import Sizing

if TYPE_CHECKING:
    from gallery.sheet.finished import FinishedSheet
    from render.images.tracing import Tracing
    from scenes.arrangement.resolving import ResolvedArrangement


def open_arrangement(
    file: Path | None, sizing: Sizing, like: ResolvedArrangement | None = None, *, is_described: bool = True
) -> ResolvedArrangement:
    """Return the arrangement of a file, or of the demo, in the given size; notes on stderr explain what was guessed.

    Without `is_described` there are no such notes. The model of `like`, the arrangement before, is reused where it is
    the same.
    """
    from rich.console import Console
    from rich.markup import escape

    from gallery.inputs import describe_size, describe_stand_in, open_as_guessed

    with Console(stderr=True).status("reading") as status:  # shown on a terminal alone
        arrangement, guess = open_as_guessed(file, sizing, lambda step: status.update(escape(printable(step))), like)
    if not is_described:
        return arrangement
    for description in (describe_stand_in(file), describe_size(arrangement)):
        if description:
            print_note(description)
    if guess is not None:
        print_note(f"{guess.was_taken}: spruelight new {file} draws how else it may stand")
    return arrangement


def open_sheet(folder: Path) -> FinishedSheet:
    """Return the finished sheet in a folder, read while a terminal's stderr shows how far."""
    from rich.console import Console
    from rich.markup import escape

    from gallery.sheet.finished import open_finished

    with Console(stderr=True).status("reading") as status:  # shown on a terminal alone
        return open_finished(folder, lambda step: status.update(escape(printable(step))))


def open_tracing(arrangement: ResolvedArrangement) -> Tracing:
    """Return the way to lamp images, with the person's own cache, which notes what they were traced for.

    An interruption then saves what is being traced, and says what is kept.
    """
    from render.images.store.store import Store
    from render.images.tracing import Tracing

    tracing = Tracing(Store(title=arrangement.title))
    INTERRUPTION.save_work = tracing.save_unfinished
    INTERRUPTION.describe_kept = partial(kept_words, tracing)
    return tracing


def close_tracing(tracing: Tracing) -> None:
    """Let a tracing go, and the model in it: an interruption has nothing of it to save any more."""
    INTERRUPTION.save_work = lambda: None
    INTERRUPTION.describe_kept = partial(str, kept_words(tracing))


def kept_words(tracing: Tracing) -> str:
    """Return what is kept of the work if it stops now, as the second half of a sentence."""
    if not tracing.store.is_on_disk:
        return "what could not be written to the cache is lost"
    since = tracing.unsaved_since
    lost = "" if since is None else f" but for the last {math.ceil(time.monotonic() - since)} s"
    return f"what was traced is kept{lost}, and the same command goes on from there"
