"""Work in a worker: by keys alone, of the same files, in the same surroundings, or not at all."""

from __future__ import annotations

import json
import pickle
from collections.abc import Callable
from pathlib import Path

import pytest

from gallery.cluster import remote_work, surroundings
from gallery.cluster.remote_work import ROOT, OpenedSheet, Piece
from gallery.cluster.surroundings import Surroundings, UnfitWorkerError, require_same
from gallery.frames.shots import shots_with_room
from gallery.inputs import open_input
from gallery.sheet.request import Request, made_from
from render.allocation.work import Work
from render.images.store.keys import provenance_facts
from render.images.store.store import FOLDER_VARIABLE
from render.images.tracing import Tracing
from render.shot import Shot
from scenes.errors import InputError

ARRANGEMENT = 'format = 1\ntitle = "Spoon"\n[subject]\nmesh = "stand-in:spoon"\nlength_cm = 12\n'
ADDRESS = "tcp://node-7:40000"


@pytest.fixture
def sheet(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> tuple[str, list[Shot]]:
    """Return a sheet as it travels and its shots; the current folder is then another one."""
    for folder in ("club", "elsewhere"):
        (tmp_path / folder).mkdir()
    (tmp_path / "club" / "spoon.toml").write_text(ARRANGEMENT, encoding="utf-8")
    monkeypatch.chdir(tmp_path / "club")
    request = Request(file="spoon.toml", sizing={}, setups=("loop", "rim-fill"), size=(48, 64), quality="draft")
    shots, _ = shots_with_room(open_input(Path("spoon.toml"), {}), request.setups, (), request.size)
    text = json.dumps(made_from(request, ROOT, shots))
    monkeypatch.chdir(tmp_path / "elsewhere")
    return text, shots


def test_a_worker_finds_geometry_and_lamps_by_their_keys(
    sheet: tuple[str, list[Shot]], monkeypatch: pytest.MonkeyPatch
) -> None:
    text, shots = sheet
    done: list[Work] = []

    def carry_out(piece: Work, _: Tracing, tick: Callable[[float], None]) -> None:
        done.append(piece)
        tick(piece.cost)

    monkeypatch.setattr(remote_work, "carry_out", carry_out)
    opened, ticks = OpenedSheet(text), list[float]()
    for shot in shots:
        lamps = [lamp.fingerprint for lamp in shot.emitter_shapes]
        opened.carry_out(Piece(geometry=shot.geometry.fingerprint, lamps=lamps, passes=4, cost=0.5), ticks.append)
    wanted = [Work(shot.geometry, shot.emitter_shapes, 4, 0.5) for shot in shots]
    assert [piece.key for piece in done] == [piece.key for piece in wanted]
    assert ticks == [0.5, 0.5]


def test_a_worker_that_sees_another_file_does_nothing(sheet: tuple[str, list[Shot]], tmp_path: Path) -> None:
    file = tmp_path / "club" / "spoon.toml"
    file.write_text(ARRANGEMENT.replace("12", "13"), encoding="utf-8")
    with pytest.raises(InputError, match=r"spoon\.toml: is another file here, or this is another version$"):
        OpenedSheet(sheet[0])
    file.unlink()
    with pytest.raises(InputError, match=r"spoon\.toml"):
        OpenedSheet(sheet[0])


def test_a_worker_without_the_shared_folder_or_of_another_version_is_refused_in_a_sentence(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv(FOLDER_VARIABLE, str(tmp_path))
    wanted = Surroundings(marker=".mark", provenance=provenance_facts())
    with pytest.raises(UnfitWorkerError, match=rf"^the worker at {ADDRESS} does not see the shared cache in "):
        require_same(wanted, ADDRESS)
    (tmp_path / ".mark").touch()
    require_same(wanted, ADDRESS)
    monkeypatch.setattr(surroundings, "provenance_facts", lambda: {"backend": "another", "provenance": "0f3a"})
    with pytest.raises(UnfitWorkerError, match=r"traces with backend another, where the sheet is made with backend "):
        require_same(wanted, ADDRESS)


def test_the_address_and_the_sentence_of_an_unfit_worker_come_back_from_it() -> None:
    error = pickle.loads(pickle.dumps(UnfitWorkerError(ADDRESS, "is not here")))
    assert (error.address, str(error)) == (ADDRESS, f"the worker at {ADDRESS} is not here")
