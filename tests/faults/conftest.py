"""Jobs measured once, and a home of their own for all processes: the programs compiled for them are stored there."""

from __future__ import annotations

from collections.abc import Iterator

import pytest

from tests.faults.job import DRAFT, FINE, Job, measured


@pytest.fixture(scope="session", autouse=True)
def _home(tmp_path_factory: pytest.TempPathFactory) -> Iterator[None]:
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv("HOME", str(tmp_path_factory.mktemp("home")))
        yield


@pytest.fixture(scope="session")
def draft(tmp_path_factory: pytest.TempPathFactory) -> Job:
    """Give the draft sheet."""
    return measured(tmp_path_factory.mktemp("draft"), DRAFT)


@pytest.fixture(scope="session")
def fine(tmp_path_factory: pytest.TempPathFactory) -> Job:
    """Give the fine sheet."""
    return measured(tmp_path_factory.mktemp("fine"), FINE)


@pytest.fixture(scope="session")
def finer(tmp_path_factory: pytest.TempPathFactory) -> Job:
    """Give the fine sheet made from a draft, whose images are rounded to half-floats."""
    return measured(tmp_path_factory.mktemp("finer"), FINE, DRAFT)
