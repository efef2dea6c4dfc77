"""Ctrl-C, SIGTERM and a closed terminal: work stops within two seconds, and a line says what is kept.

A Python signal handler runs between two bytecodes of the main thread, and a launch of the renderer is one bytecode
that takes a second or more. So the number of a signal also goes down a pipe, to a thread that waits for it and saves
what was traced before the launch. The handler unwinds the main thread, once that is not importing: an exception that
goes up through a compiled module, as Mitsuba, aborts the process. If the end takes longer than `GRACE_S`, or at a
second signal, the process ends in the middle of its work: what was saved is kept, unfinished files are removed.
"""

from __future__ import annotations

import _thread
import os
import signal
import sys
import threading
import time
from collections.abc import Callable
from contextlib import suppress
from types import FrameType
from typing import Final

GRACE_S: Final = 1.5
REPEAT_S: Final = 0.02
"""Between two looks whether the import during which a signal came is done."""
SIGNALS: Final = [getattr(signal, name) for name in ("SIGINT", "SIGTERM", "SIGHUP") if hasattr(signal, name)]
SHOW_CURSOR: Final = "\x1b[?25h\n"
"""Undoes what a progress bar does to a terminal."""


class Interruption:
    """The end of a process at a signal, with exit status 128 and the signal's number; a process has one.

    `save_work` saves what there is of the work; `describe_kept` returns what is kept of it, as the second half of a
    sentence. Both are called in any thread.
    """

    def __init__(self) -> None:
        self.save_work: Callable[[], None] = lambda: None
        self.describe_kept: Callable[[], str] = lambda: "there was nothing to keep"
        self._number: int | None = None
        self._is_unwinding = False
        self._repeated = 0
        self._ends_once = threading.Lock()

    def heed_signals(self) -> None:
        """Take over all signals that are not ignored, as a shell's background jobs ignore SIGINT."""
        reader, writer = os.pipe()
        if hasattr(os, "set_blocking"):  # on Windows since Python 3.12, where it need not be
            os.set_blocking(writer, False)
        signal.set_wakeup_fd(writer, warn_on_full_buffer=False)
        threading.Thread(target=self._watch, args=(reader,), daemon=True).start()
        self._handle(self._unwind)

    def finish(self) -> None:
        """End the process with the line if a signal came; from now on a signal ends it without one."""
        signal.set_wakeup_fd(-1)
        self._handle(signal.SIG_DFL)  # Python's own end runs no handler
        if self._number is not None:
            self._end(self._number)

    def _handle(self, handler: Callable[[int, FrameType | None], None] | signal.Handlers) -> None:
        for number in SIGNALS:
            if signal.getsignal(number) is not signal.SIG_IGN:
                signal.signal(number, handler)

    def _unwind(self, number: int, frame: FrameType | None) -> None:
        self._number = self._number or number
        if not self._is_unwinding and not _is_importing(frame):
            self._is_unwinding = True
            sys.unraisablehook = lambda _: None  # raised in a destructor, it is lost: the other thread ends the process
            raise SystemExit(128 + self._number)

    def _watch(self, reader: int) -> None:
        number = os.read(reader, 1)[0]
        threading.Thread(target=self._save_and_end, args=(number,), daemon=True).start()
        while os.read(reader, 1):
            if not self._repeated:
                self._end(number)
            self._repeated -= 1

    def _save_and_end(self, number: int) -> None:
        """Save, however long that takes, and end the process if the main thread has not done so within `GRACE_S`."""
        grace_ends = time.monotonic() + GRACE_S
        with suppress(Exception):  # the process is about to end either way
            self.save_work()
        while time.monotonic() < grace_ends:
            time.sleep(REPEAT_S)
            if not self._is_unwinding:
                self._repeated += 1
                _thread.interrupt_main(signal.Signals(number))
        self._end(number)

    def _end(self, number: int) -> None:
        """End the process, from whichever thread comes first."""
        with self._ends_once:  # for good
            try:
                line = f"spruelight: stopped; {self.describe_kept()}\n"
                self._remove_leftovers()
                with suppress(OSError):  # not through sys.stderr, which the main thread may have locked
                    os.write(2, ((SHOW_CURSOR if os.isatty(2) else "") + line).encode())
            finally:
                os._exit(128 + number)

    @staticmethod
    def _remove_leftovers() -> None:
        from render.images.store.leftovers import remove_leftovers

        remove_leftovers()


def _is_importing(frame: FrameType | None) -> bool:
    """Return whether a frame was called by an import, however far up."""
    while frame is not None and frame.f_code.co_filename != "<frozen importlib._bootstrap>":
        frame = frame.f_back
    return frame is not None


INTERRUPTION: Final = Interruption()
