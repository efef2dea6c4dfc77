"""Workers see by a file that they share the store's folder, however long a run does other things or sleeps."""

from __future__ import annotations

import time
from pathlib import Path

import pytest

from gallery.cluster.marker import Marker
from render.images.store import leases


def files(folder: Path) -> list[str]:
    return [path.name for path in folder.iterdir()]


def test_a_marker_is_there_from_its_first_renewal_until_it_is_removed(tmp_path: Path) -> None:
    marker = Marker(tmp_path)
    assert [marker.renew(), marker.renew()] == [True, True]
    assert files(tmp_path) == [marker.name]
    marker.remove()
    assert files(tmp_path) == []


def test_a_marker_that_nobody_renewed_for_long_is_there_again_under_its_name(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(leases, "HANGING_S", 0.1)
    marker = Marker(tmp_path)
    marker.renew()
    while files(tmp_path):
        time.sleep(0.01)
    assert marker.renew()
    assert files(tmp_path) == [marker.name]


def test_a_marker_that_another_machine_has_removed_is_there_again(tmp_path: Path) -> None:
    marker = Marker(tmp_path)
    marker.renew()
    (tmp_path / marker.name).unlink()
    assert marker.renew()
    marker.remove()
    assert files(tmp_path) == []


def test_where_nothing_can_be_written_there_is_no_marker(tmp_path: Path) -> None:
    (tmp_path / "file").touch()
    assert not Marker(tmp_path / "file").renew()
