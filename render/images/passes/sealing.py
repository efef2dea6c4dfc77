"""Finished lamp images, sealed: the mean in half-float, its parts and its error in 8 bits.

Of a pixel 26 bytes: 12 bands of 2, and the shares of the specular and the indirect part of 1 each; with the error, of
1 for each tile of 8 x 8 pixels, 26.02. The sums that it was traced in take 112.

- Each band has a scale of its own (`half_float`).
- A share is of the light's mean over wavelengths, and its code is 255 times its square root: within .4 % of the whole,
  and much finer where the share is small.
- The error is the relative standard error of that mean, a typical pixel's in the tile, from the two halves. Its code
  is logarithmic, from 2^-13 to 2^4 within 2.4 %.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

import numpy as np
from numpy.typing import NDArray

from render.description.scene import Camera
from render.images.bands import BAND_COUNT, INDIRECT_PLANE, SPECULAR_PLANE
from render.images.lamp_images import RANGE, LampImage, Plane

from .half_float import from_half_float, to_half_float

if TYPE_CHECKING:
    from .pass_sums import PassSums

TILE: Final = 8
ERROR_EXPONENTS: Final = (-13.0, 4.0)
"""Of two, of the errors with the codes 1 and 254. Where light of 64 pixels is in one of them alone, the error is 8."""
NO_ERROR, UNKNOWN_ERROR = 0, 255


@dataclass(frozen=True, eq=False)
class SealedImage(LampImage):
    """A finished lamp image.

    Parameters
    ----------
    bands : (bands, height, width)
        The mean of all passes over `scales`.
    scales : (bands,)
        Powers of two.
    specular_share, indirect_share : (height, width)
        Codes of the shares of the mean over wavelengths.
    error : (height / 8, width / 8), rounded up
        Codes of the relative standard error of the mean over wavelengths.
    passes
        Number of passes that it is the mean of.
    group
        Lamps of one group were traced by the same paths, so their noise is correlated.
    """

    bands: NDArray[np.float16]
    scales: NDArray[np.float32]
    specular_share: NDArray[np.uint8]
    indirect_share: NDArray[np.uint8]
    error: NDArray[np.uint8]
    passes: int
    group: int = 0

    def plane(self, number: int) -> Plane:
        """Return a plane, (height, width)."""
        if number < BAND_COUNT:
            return from_half_float(self.bands[number], self.scales[number])
        codes = {SPECULAR_PLANE: self.specular_share, INDIRECT_PLANE: self.indirect_share}[number]
        part: Plane = np.square(codes / np.float32(255))
        part *= self.level
        return part

    @property
    def relative_error(self) -> NDArray[np.float32]:
        """The relative standard error of `level` in each tile; 0 without noise, not a number if it is unknown."""
        first, last = ERROR_EXPONENTS
        exponents = first + (self.error.astype(np.float32) - 1) * np.float32((last - first) / 253)
        errors = np.where(self.error == NO_ERROR, 0, np.exp2(exponents))
        return np.where(self.error == UNKNOWN_ERROR, np.nan, errors).astype(np.float32)


@np.errstate(invalid="ignore")  # what is no number stays none
def seal(sums: PassSums) -> SealedImage:
    """Return the finished image of sums."""
    size = sums.even.shape[1:]
    bands, scales = np.empty((BAND_COUNT, *size), np.float16), np.empty(BAND_COUNT, np.float32)
    level = np.zeros(size, np.float32)
    for number in range(BAND_COUNT):  # one by one: they are large
        plane = sums.plane(number)
        level += plane
        bands[number], scales[number] = to_half_float(plane)
    level /= RANGE
    specular, indirect = (_share_codes(sums.plane(part), level) for part in (SPECULAR_PLANE, INDIRECT_PLANE))
    error = _error_codes(_relative_error(sums, level))
    return SealedImage(bands, scales, specular, indirect, error, sums.passes, sums.group)


def _share_codes(part: Plane, level: Plane) -> NDArray[np.uint8]:
    shares = np.divide(part, level, out=np.zeros_like(level), where=(level > 0) & np.isfinite(level))
    codes: NDArray[np.uint8] = np.rint(255 * np.sqrt(np.clip(shares, 0, 1))).astype(np.uint8)
    return codes


def _error_codes(errors: NDArray[np.float64]) -> NDArray[np.uint8]:
    first, last = ERROR_EXPONENTS
    with np.errstate(divide="ignore"):
        codes = 1 + (np.log2(errors) - first) * 253 / (last - first)
    codes = np.where(errors > 0, np.clip(np.rint(codes), 1, 254), NO_ERROR)
    return np.where(np.isnan(errors), UNKNOWN_ERROR, codes).astype(np.uint8)


def _relative_error(sums: PassSums, level: Plane) -> NDArray[np.float64]:
    """Return the relative standard error of the mean over wavelengths in each tile; NaN where one half is missing.

    With a and b the means of the halves, of m and n passes, the variance of their common mean is estimated by
    (a - b)^2 m n / (m + n)^2. That of a sealed image before them is known; both weigh by the square of their passes.
    """
    even, odd = sums.even_passes, sums.odd_passes
    if not (even and odd):
        return np.full(_tile_sums(level).shape, np.nan)
    difference = sums.even[:BAND_COUNT].sum(axis=0) / np.float32(even) - sums.odd[:BAND_COUNT].sum(axis=0) / np.float32(
        odd
    )
    variance = _tile_means(np.square(difference / RANGE, dtype=np.float64)) * even * odd
    if sums.earlier is not None:
        earlier = sums.earlier.relative_error * _tile_means(sums.earlier.level)
        variance += np.square(earlier * sums.earlier.passes)
    mean = _tile_means(level)
    return np.divide(np.sqrt(variance) / sums.passes, mean, out=np.zeros_like(mean), where=mean > 0)


def _tile_means(values: NDArray[np.floating]) -> NDArray[np.float64]:
    return _tile_sums(values) / _tile_sums(np.ones(values.shape, np.float32))


def _tile_sums(values: NDArray[np.floating]) -> NDArray[np.float64]:
    """Return the sums over tiles; those at the right and at the lower edge may be smaller."""
    rows, columns = (range(0, length, TILE) for length in values.shape)
    sums: NDArray[np.float64] = np.add.reduceat(values.astype(np.float64), rows, axis=0)
    return np.add.reduceat(sums, columns, axis=1)


def tiles(length: int) -> int:
    """Return the number of tiles along so many pixels."""
    return -(-length // TILE)


def sealed_bytes(camera: Camera) -> int:
    """Return the memory that a sealed image takes."""
    width, height = camera.width, camera.height
    return (2 * BAND_COUNT + 2) * width * height + tiles(width) * tiles(height)
