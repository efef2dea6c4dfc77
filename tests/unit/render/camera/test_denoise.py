"""A missing denoiser is an error before anything is traced."""

from __future__ import annotations

import sys
from collections.abc import Callable, Iterable, Iterator
from pathlib import Path
from types import SimpleNamespace

import pytest
import trimesh

from gallery import cli
from gallery.answers import installation
from render.camera.denoise import NoDenoiserError, load_denoiser
from render.images.jobs import metered_exposures, take_frames
from render.images.store import FOLDER_VARIABLE, Store
from render.images.tracing import Tracing
from tests.unit.render.test_frame import shot

REMEDY = "pip install --force-reinstall mitsuba-oidn"


def no_device() -> None:
    raise RuntimeError("no device is supported")


LACKS = {"not installed": None, "without a device": SimpleNamespace(Device=no_device)}


@pytest.fixture(params=LACKS)
def _lacking(request: pytest.FixtureRequest, monkeypatch: pytest.MonkeyPatch) -> Iterator[None]:
    """Have no denoiser, and fail where anything is traced."""
    monkeypatch.setitem(sys.modules, "mitsuba_oidn", LACKS[request.param])
    monkeypatch.setattr(Tracing, "_tracer_of", lambda *_: pytest.fail("this is traced"))
    load_denoiser.cache_clear()
    yield
    load_denoiser.cache_clear()


@pytest.mark.usefixtures("_lacking")
@pytest.mark.parametrize("take", [take_frames, metered_exposures])
def test_shots_are_refused_before_anything_is_traced(take: Callable[..., Iterable[object]], tmp_path: Path) -> None:
    with pytest.raises(NoDenoiserError, match=REMEDY):
        list(take([shot()], Tracing(Store(tmp_path)), 2))


COMMANDS = {
    "sheet": "sheet box.stl --height-cm 9 --setup butterfly",
    "sheet of finishes": "sheet box.stl --height-cm 9 --setup loop --finish matt --finish gloss",
    "proof": "proof butterfly box.stl --height-cm 9",
    "strip": "strip finish=matt,gloss box.stl --height-cm 9 --setup three-point",
}


@pytest.mark.usefixtures("_lacking")
@pytest.mark.parametrize("command", COMMANDS)
def test_commands_that_make_pictures_end_in_one_sentence_before_anything_is_traced(
    command: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    trimesh.creation.box((2, 2, 9)).export(tmp_path / "box.stl")
    monkeypatch.chdir(tmp_path)
    monkeypatch.setenv(FOLDER_VARIABLE, str(tmp_path / "cache"))
    monkeypatch.setattr(sys, "argv", ["spruelight", *COMMANDS[command].split()])
    with pytest.raises(SystemExit) as ended:
        cli.main()
    assert ended.value.code == 1
    (told,) = capsys.readouterr().err.strip().splitlines()
    assert told.startswith("spruelight: the denoiser does not load")
    assert REMEDY in told
    assert not (tmp_path / "cache").exists()


@pytest.mark.usefixtures("_lacking")
def test_the_doctor_gives_the_remedy() -> None:
    assert REMEDY in installation._denoiser()


def test_the_doctor_finds_the_denoiser_that_is_there() -> None:
    load_denoiser.cache_clear()
    assert installation._denoiser() == "ready"
