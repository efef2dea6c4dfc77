"""Whether the kernel's pictures are the oracle's: as a whole, on the subject, band by band and tile by tile."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from materials.arrays import Mask

from .notes import note
from .significance import Ratio, Worst, mean_ratio, worst_difference

Batches = NDArray[np.float64]
"""Independent pictures of one thing, (batches, bands, height, width)."""


TILE_PX: Final = 8
RATIO_TO: Final = 0.001
SUBJECT_TO: Final = 0.01
BANDS_TO: Final = 0.006
TILES_TO: Final = 0.02
"""Half-widths of the intervals, since what is known no better shows nothing: of the two ratios, of the median band over
its mean, and of the median tile over the mean of the picture."""

SECTION: Final = (
    "kernel over oracle, 99.9 % intervals: case | ratio of means less 1, 1e-4 | "
    "on the subject | worst tile, z of bound (median half-width) | worst band"
)


@dataclass(frozen=True)
class Agreement:
    """The mean of all and of the subject, the whole picture's bands, and all bands' tiles, of two estimates."""

    ratio: Ratio
    subject: Ratio
    bands: Worst
    tiles: Worst

    @property
    def faults(self) -> list[str]:
        """What keeps the two from being the same, and what is not known well enough to say."""
        ratio, subject, bands, tiles = self.ratio, self.subject, self.bands, self.tiles
        found = {
            f"ratio of the means {ratio.value:.5f}, not 1 within {ratio.half_width:.5f}": not ratio.contains(1.0),
            f"on the subject {subject.value:.5f}, not 1 within {subject.half_width:.5f}": not subject.contains(1.0),
            f"a band differs by {bands.z:.2f} standard deviations, over {bands.bound:.2f}": not bands.agrees,
            f"a tile differs by {tiles.z:.2f} standard deviations, over {tiles.bound:.2f}": not tiles.agrees,
            f"the ratio is known to {ratio.half_width:.5f}, not {RATIO_TO}": ratio.half_width > RATIO_TO,
            f"on the subject to {subject.half_width:.5f}, not {SUBJECT_TO}": subject.half_width > SUBJECT_TO,
            f"half the bands are known to {bands.half_width:.4f}, not {BANDS_TO}": bands.half_width > BANDS_TO,
            f"half the tiles are known to {tiles.half_width:.4f}, not {TILES_TO}": tiles.half_width > TILES_TO,
        }
        return [words for words, is_so in found.items() if is_so]

    def row(self, case: str) -> str:
        """Return the line of the printed table."""
        ratios = (f"{1e4 * (r.value - 1):+.1f} ± {1e4 * r.half_width:.1f}" for r in (self.ratio, self.subject))
        worst = (f"{w.z:.2f} of {w.bound:.2f} ({100 * w.half_width:.2f} %)" for w in (self.tiles, self.bands))
        return " | ".join([case, *ratios, *worst]) + (" FAILED" if self.faults else "")


def agreement(ours: Batches, theirs: Batches, subject: Mask) -> Agreement:
    """Return how far two estimates of one picture agree; `subject` is where the subject is seen."""
    mean = theirs.sum(axis=1).mean()
    bands = theirs.mean(axis=(0, 2, 3))
    return Agreement(
        mean_ratio(*(p.sum(axis=1).mean(axis=(1, 2)) for p in (ours, theirs))),
        mean_ratio(*(p.sum(axis=1)[:, subject].mean(axis=1) for p in (ours, theirs))),
        worst_difference(*(p.mean(axis=(2, 3)) / bands for p in (ours, theirs))),
        worst_difference(*(in_tiles(p.sum(axis=1)) / mean for p in (ours, theirs))),
    )


def check(case: str, ours: Batches, theirs: Batches, subject: Mask) -> None:
    """Record a line of the table, then fail where two estimates differ or are not known well enough to tell."""
    found = agreement(ours, theirs, subject)
    note(SECTION, found.row(case))
    assert not found.faults, f"{case}: {'; '.join(found.faults)}"


def in_tiles(pictures: Batches) -> Batches:
    """Return the means of square tiles of (..., height, width) pictures."""
    *rest, height, width = pictures.shape
    split = pictures.reshape(*rest, height // TILE_PX, TILE_PX, width // TILE_PX, TILE_PX)
    means: Batches = split.mean(axis=(-3, -1))
    return means
