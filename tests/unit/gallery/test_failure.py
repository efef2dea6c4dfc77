"""Errors become sentences and an exit status; the program's own mistakes stay errors."""

from __future__ import annotations

import errno

import pytest

from gallery.failure import FAILED, WRONG_INPUT, Failure, failure_of
from scenes.errors import InputError


@pytest.mark.parametrize(
    ("error", "failure"),
    [
        (InputError("one", "two"), Failure(("one", "two"), WRONG_INPUT)),
        (
            OSError(errno.ENAMETOOLONG, "File name too long", "x"),
            Failure(("x: no file can be called so (File name too long); name another",), WRONG_INPUT),
        ),
        (OSError(errno.ENOSPC, "No space left on device", "x"), Failure(("x: no space left on device",), FAILED)),
        (OSError("Odd"), Failure(("odd",), FAILED)),
        (MemoryError(), Failure(("there is not enough memory for it",), FAILED)),
        (RuntimeError("no denoiser"), Failure(("no denoiser",), FAILED)),
        (ValueError("mine"), None),
    ],
)
def test_an_error_is_said_as_a_person_reads_it(error: Exception, failure: Failure | None) -> None:
    assert failure_of(error) == failure
