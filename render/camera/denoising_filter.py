"""Open Image Denoise on one picture, in bounded memory: a large picture is filtered in tiles, to the same values."""

from __future__ import annotations

import atexit
from collections.abc import Mapping
from functools import cache
from typing import Any, Final

import numpy as np
from numpy.typing import NDArray

from materials.colour.srgb import LUMINANCE_WEIGHTS

MEMORY_MB: Final = 600
"""1200x1600 pixels are filtered at once. 2400x3200 would take four times as much; in tiles, it takes a tenth longer."""

TILE: Final = 16
DARK: Final = 1e-8
MIDDLE_GREY: Final = 0.18


def run_filter(oidn: Any, **images: NDArray[np.float32]) -> NDArray[np.float32]:
    """Return the denoised picture; `images` has it as `color`, `albedo` and `normal` guide it, all (height, width, 3).

    `oidn` is the module of the denoiser. It runs on a GPU where there is one, and on the CPU where that fails, as for
    lack of memory.
    """
    fastest = _filter(oidn, oidn.DeviceType.Default)
    try:
        return _run(oidn, fastest, images)
    except RuntimeError:
        if fastest.device.type == oidn.DeviceType.CPU:
            raise
    return _run(oidn, _filter(oidn, oidn.DeviceType.CPU), images)


def exposure_scale(color: NDArray[np.float32]) -> float:
    """Return what brings a picture to middle grey: .18 over the geometric mean of the luminance of its tiles.

    The filter's own measure of it is a sum in the order in which its threads come, so that the last bits of a denoised
    picture would differ with their number. Tiles and middle grey are
    the filter's (Open Image Denoise, `getAutoexposure`, from memory).
    """
    luminance = sum(weight * color[..., i].astype(np.float64) for i, weight in enumerate(LUMINANCE_WEIGHTS))
    rows, columns = (_tile_starts(side) for side in luminance.shape)
    sums = np.add.reduceat(np.add.reduceat(luminance, rows, axis=0), columns, axis=1)
    pixels = np.outer(np.diff(rows, append=luminance.shape[0]), np.diff(columns, append=luminance.shape[1]))
    means = sums / pixels
    lit = means[means > DARK]
    return float(MIDDLE_GREY / np.exp(np.log(lit).mean())) if lit.size else 1.0


def _tile_starts(side: int) -> NDArray[np.int64]:
    """Return where tiles begin that part a side evenly, none longer than `TILE`."""
    count = -(-side // TILE)
    return np.arange(count) * side // count


def _run(oidn: Any, denoising: Any, images: Mapping[str, NDArray[np.float32]]) -> NDArray[np.float32]:
    height, width, _ = images["color"].shape
    denoising.set_float("inputScale", exposure_scale(images["color"]))
    layout = {"format": oidn.Format.Float3, "width": width, "height": height}
    for name, image in images.items():
        contiguous = np.ascontiguousarray(image, dtype=np.float32)
        if denoising.device.can_share(contiguous):
            denoising.set_image(name, contiguous)
        else:
            buffer = denoising.device.new_buffer(contiguous.nbytes, oidn.Storage.Device)
            buffer.write(contiguous)
            denoising.set_image(name, buffer, **layout)
    output = denoising.device.new_buffer(4 * 3 * height * width, oidn.Storage.Host)
    denoising.set_image("output", output, **layout)
    denoising.execute()
    for name in (*images, "output"):
        denoising.unset_image(name)  # else the filter would keep them alive
    clean: NDArray[Any] = np.from_dlpack(output.view("float32", (height, width, 3)))
    return clean


@cache
def _filter(oidn: Any, device: Any) -> Any:
    """Return the filter on a type of device, which is prepared once: that takes as long as a sixth of a draft frame."""
    denoising = oidn.Device(device).new_filter("RT")
    denoising.hdr = True
    denoising.clean_aux = True  # the guides average many rays and are nearly noise-free
    denoising.quality = oidn.Quality.Fast  # in half the time of Balanced, for a twelfth more error
    denoising.set_int("maxMemoryMB", MEMORY_MB)
    atexit.register(_filter.cache_clear)  # its threads end before modules are torn down
    return denoising
