"""The denoiser runs on the fastest device, and on the CPU where that fails; threads change nothing."""

from __future__ import annotations

import os
import subprocess
import sys
from types import SimpleNamespace
from typing import Any

import mitsuba_oidn as oidn
import numpy as np
import pytest
from numpy.typing import NDArray

from render.camera import denoising_filter
from render.camera.denoising_filter import exposure_scale, run_filter

GREY: dict[str, NDArray[np.float32]] = {
    name: np.full((24, 32, 3), 0.5, np.float32) for name in ("color", "albedo", "normal")
}


def failing_on(device: Any) -> Any:
    """Return a filter that finds no memory on a device."""

    def fail(*_: object) -> None:
        raise RuntimeError("out of memory")

    on = SimpleNamespace(type=device, can_share=lambda _: True, new_buffer=fail)
    return SimpleNamespace(device=on, set_float=lambda *_: None, set_image=lambda *_: None)


def use_fastest(fastest: Any, monkeypatch: pytest.MonkeyPatch) -> None:
    filters = {
        oidn.DeviceType.Default: fastest,
        oidn.DeviceType.CPU: denoising_filter._filter(oidn, oidn.DeviceType.CPU),
    }
    monkeypatch.setattr(denoising_filter, "_filter", lambda _, device: filters[device])


def test_where_a_gpu_fails_the_cpu_denoises(monkeypatch: pytest.MonkeyPatch) -> None:
    expected = run_filter(oidn, **GREY)
    use_fastest(failing_on(oidn.DeviceType.CUDA), monkeypatch)
    np.testing.assert_array_equal(run_filter(oidn, **GREY), expected)


def test_what_fails_on_the_cpu_is_an_error(monkeypatch: pytest.MonkeyPatch) -> None:
    use_fastest(failing_on(oidn.DeviceType.CPU), monkeypatch)
    with pytest.raises(RuntimeError, match="out of memory"):
        run_filter(oidn, **GREY)


DENOISE = """
import hashlib
import mitsuba_oidn
import numpy as np
from render.camera.denoising_filter import run_filter
image = np.random.default_rng(16).gamma(2, 0.3, (320, 240, 3)).astype(np.float32)
guides = {name: np.full_like(image, 0.5) for name in ("albedo", "normal")}
print(hashlib.sha256(run_filter(mitsuba_oidn, color=image, **guides).tobytes()).hexdigest())
"""


def test_a_denoised_picture_is_the_same_to_the_bit_by_one_thread_and_by_two() -> None:
    def denoised(threads: int) -> str:
        environment = {**os.environ, "OIDN_NUM_THREADS": str(threads)}
        return subprocess.check_output([sys.executable, "-c", DENOISE], env=environment, text=True)

    assert denoised(1) == denoised(2)


def test_a_picture_is_scaled_by_the_geometric_mean_of_its_tiles_as_the_filter_does_it() -> None:
    steps = np.repeat(np.repeat([[0.25, 1.0], [1.0, 4.0]], 16, axis=0), 16, axis=1)
    picture = np.repeat(steps[:, :, None], 3, axis=2).astype(np.float32)
    assert exposure_scale(picture) == pytest.approx(0.18, rel=1e-6)
    picture[:16, :16] = 0.0  # what is black does not count
    assert exposure_scale(picture) == pytest.approx(0.18 / 4 ** (1 / 3), rel=1e-6)
    assert exposure_scale(np.zeros((24, 40, 3), np.float32)) == 1.0
