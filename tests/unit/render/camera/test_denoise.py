"""What is far beyond white spoils nothing beside it; a missing denoiser is an error before anything is traced."""

from __future__ import annotations

import sys
from collections.abc import Callable, Iterable, Iterator
from pathlib import Path
from types import SimpleNamespace

import numpy as np
import pytest
import trimesh

from gallery import cli
from gallery.answers import installation
from render.camera.denoise import NoDenoiserError, denoise, load_denoiser
from render.images.jobs import metered_exposures, take_frames
from render.images.store.store import FOLDER_VARIABLE, Store
from render.images.tracing import Tracing
from tests.unit.render.test_frame import remember, shot

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


def test_shots_whose_light_is_stored_denoised_need_no_denoiser(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    remember(Store(tmp_path), shot())
    (_, taken), *_ = take_frames([shot()], Tracing(Store(tmp_path)), 2)
    monkeypatch.setitem(sys.modules, "mitsuba_oidn", None)
    load_denoiser.cache_clear()
    (_, again), *_ = take_frames([shot()], Tracing(Store(tmp_path)), 2)
    np.testing.assert_array_equal(again.rgb, taken.rgb)
    load_denoiser.cache_clear()


COMMANDS = {
    "sheet": "sheet box.stl --height-cm 9 --up z --setup butterfly",
    "sheet of finishes": "sheet box.stl --height-cm 9 --up z --setup loop --finish matt --finish gloss",
    "proof": "proof butterfly box.stl --height-cm 9 --up z",
    "strip": "strip finish=matt,gloss box.stl --height-cm 9 --up z --setup three-point",
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


def test_a_dark_patch_before_light_far_beyond_white_keeps_its_level_and_loses_its_noise() -> None:
    noise = np.random.default_rng(1).gamma(9, 1 / 9, (48, 48, 1)).astype(np.float32)
    patch = np.zeros((48, 48, 3), bool)
    patch[14:34, 14:34] = True
    truth, albedo = (
        np.where(patch, np.float32(0.17), np.float32(60)),
        np.where(patch, np.float32(0.18), np.float32(0.5)),
    )
    normal = np.broadcast_to(np.array([0, 0, 1], np.float32), truth.shape)
    clean = denoise(truth * noise, albedo, normal, ceiling=1.5)
    inside = clean[18:30, 18:30]
    assert inside.mean() == pytest.approx(0.17, rel=0.05)
    assert inside.std() < 0.25 * 0.17 * noise.std()
    assert (clean[~patch] > 1).all()
