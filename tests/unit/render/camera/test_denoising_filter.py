"""The denoiser runs on the fastest device, and on the CPU where that fails."""

from __future__ import annotations

from types import SimpleNamespace
from typing import Any

import mitsuba_oidn as oidn
import numpy as np
import pytest
from numpy.typing import NDArray

from render.camera import denoising_filter
from render.camera.denoising_filter import run_filter

GREY: dict[str, NDArray[np.float32]] = {
    name: np.full((24, 32, 3), 0.5, np.float32) for name in ("color", "albedo", "normal")
}


def failing_on(device: Any) -> Any:
    """Return a filter that finds no memory on a device."""

    def fail(*_: object) -> None:
        raise RuntimeError("out of memory")

    on = SimpleNamespace(type=device, can_share=lambda _: True, new_buffer=fail)
    return SimpleNamespace(device=on, set_image=lambda *_: None)


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
