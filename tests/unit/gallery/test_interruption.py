"""Signals end a process with a line of what is kept, also while its main thread is in one long call."""

from __future__ import annotations

import os
import signal
import subprocess
import sys
from pathlib import Path

import pytest

pytestmark = pytest.mark.skipif(os.name == "nt", reason="a process on Windows cannot be sent these signals")

KEPT = b"spruelight: stopped; all is kept\n"
LONG_CALL = "hashlib.pbkdf2_hmac('sha256', b'', b'', 10**9)"
"""Minutes in which no Python handler runs."""
IN_LONG_CALL = f"threading.Timer(0.5, ready).start(); {LONG_CALL}"
"""Ready once the call has begun."""
PROCESS = """
import hashlib, signal, sys, threading, time
from pathlib import Path
from gallery.interruption import INTERRUPTION
from render.images.store.atomic_file import write_atomically

def ready():
    print("ready", flush=True)

signal.signal(signal.SIGINT, signal.{at_first})
INTERRUPTION.heed_signals()
INTERRUPTION.describe_kept = lambda: "all is kept"
try:
    {work}
finally:
    INTERRUPTION.finish()
ready()
time.sleep(60)
"""


def started(work: str, *arguments: str, at_first: str = "SIG_DFL") -> subprocess.Popen[bytes]:
    """Start a process that heeds signals, and return it once its work says `ready`."""
    script = PROCESS.format(work=work, at_first=at_first)
    process = subprocess.Popen(
        [sys.executable, "-c", script, *arguments], stdout=subprocess.PIPE, stderr=subprocess.PIPE
    )
    assert process.stdout is not None
    assert process.stdout.readline() == b"ready\n"
    return process


def end(process: subprocess.Popen[bytes]) -> tuple[int, bytes]:
    """Return the exit status and what was printed on stderr."""
    _, printed = process.communicate(timeout=60)
    return process.returncode, printed


@pytest.mark.parametrize(("name", "status"), [("SIGINT", 130), ("SIGTERM", 143), ("SIGHUP", 129)])
def test_a_signal_unwinds_the_work_and_ends_with_a_line(name: str, status: int, tmp_path: Path) -> None:
    saved = tmp_path / "saved"
    process = started("try: ready(); time.sleep(60)\n    finally: Path(sys.argv[1]).touch()", str(saved))
    process.send_signal(signal.Signals[name])
    assert end(process) == (status, KEPT)
    assert saved.exists()


def test_a_long_call_does_not_keep_the_process_alive() -> None:
    process = started(f"ready(); {LONG_CALL}")
    process.send_signal(signal.SIGINT)
    assert end(process) == (130, KEPT)


@pytest.mark.slow
def test_while_a_long_call_goes_on_another_thread_saves_what_there_is(tmp_path: Path) -> None:
    saved = tmp_path / "saved"
    process = started(f"INTERRUPTION.save_work = Path(sys.argv[1]).touch; {IN_LONG_CALL}", str(saved))
    process.send_signal(signal.SIGINT)
    assert end(process) == (130, KEPT)
    assert saved.exists()


def test_a_second_signal_waits_for_no_saving() -> None:
    process = started(f"INTERRUPTION.save_work = lambda: (ready(), time.sleep(60)); {IN_LONG_CALL}")
    process.send_signal(signal.SIGINT)
    assert process.stdout is not None
    assert process.stdout.readline() == b"ready\n"
    process.send_signal(signal.SIGINT)
    assert end(process) == (130, KEPT)


def test_a_second_signal_is_not_kept_waiting_by_the_work_that_the_first_began() -> None:
    process = started("try: ready(); time.sleep(60)\n    finally: ready(); time.sleep(60)")
    process.send_signal(signal.SIGTERM)
    assert process.stdout is not None
    assert process.stdout.readline() == b"ready\n"
    process.send_signal(signal.SIGINT)
    assert end(process) == (143, KEPT)


@pytest.mark.slow
def test_a_file_that_is_being_written_does_not_stay_unfinished(tmp_path: Path) -> None:
    write = f"lambda file: (file.write(b'half'), file.flush(), ready(), {LONG_CALL})"
    process = started(f"write_atomically(Path(sys.argv[1]), {write})", str(tmp_path / "frame.png"))
    assert len(list(tmp_path.iterdir())) == 1
    process.send_signal(signal.SIGINT)
    assert end(process) == (130, KEPT)
    assert list(tmp_path.iterdir()) == []


@pytest.mark.slow
def test_an_import_is_not_unwound_and_another_thread_ends_the_process(tmp_path: Path) -> None:
    """Through a compiled module that imports another, an exception would abort the process."""
    (tmp_path / "imported.py").write_text(
        "import sys, time\nprint('ready', flush=True)\ntry:\n    time.sleep(60)\n"
        "finally:\n    print('unwound', file=sys.stderr, flush=True)\n"
    )
    process = started("sys.path.insert(0, sys.argv[1]); import imported", str(tmp_path))
    process.send_signal(signal.SIGINT)
    assert end(process) == (130, KEPT)


@pytest.mark.slow
def test_an_interruption_that_a_destructor_loses_still_ends_the_process_without_a_traceback() -> None:
    lost = "type('Lost', (), {'__del__': lambda _: (ready(), time.sleep(60))})(); time.sleep(60)"
    process = started(lost)
    process.send_signal(signal.SIGINT)
    assert end(process) == (130, KEPT)


def test_an_error_that_takes_the_place_of_the_interruption_is_not_printed() -> None:
    process = started("try: ready(); time.sleep(60)\n    finally: raise ImportError('half a module')")
    process.send_signal(signal.SIGINT)
    assert end(process) == (130, KEPT)


def test_what_is_done_ends_at_a_signal_without_a_line() -> None:
    process = started("pass")
    process.send_signal(signal.SIGINT)
    assert end(process) == (-signal.SIGINT, b"")  # to a shell the same as 130


def test_an_ignored_signal_stays_ignored() -> None:
    process = started("ready(); time.sleep(60)", at_first="SIG_IGN")
    process.send_signal(signal.SIGINT)
    process.send_signal(signal.SIGTERM)
    assert end(process) == (143, KEPT)
