"""How work is divided, by what is typed."""

from __future__ import annotations

from pathlib import Path

import pytest

from gallery.cluster.division import Division, read_division
from gallery.cluster.share import Share
from gallery.cluster.workers import ThisProcess
from gallery.sheet.request import Request
from render.images.store.store import Store
from render.images.tracing import Tracing
from scenes.errors import InputError


@pytest.mark.parametrize("share", [None, "2/3"])
def test_without_a_cluster_this_process_does_the_work_from_its_share_on(share: str | None, tmp_path: Path) -> None:
    division = read_division(share, None)
    assert division == Division(Share(2, 3) if share else Share(1, 1))
    with division.workers() as workers_for:
        assert isinstance(workers_for(Request(sizing={}, quality="draft"), (), Tracing(Store(tmp_path))), ThisProcess)


def test_a_share_of_what_a_cluster_does_is_refused() -> None:
    with pytest.raises(InputError, match=r"^--share 2/3: --cluster local:2 divides the work by itself; give one"):
        read_division("2/3", "local:2")
