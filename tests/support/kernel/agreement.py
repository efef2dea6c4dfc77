"""Whether the kernel's pictures are the oracle's: as a whole, on the subject, band by band and tile by tile."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from tests.support.notes import note

from .references import Reference
from .significance import Ratio, Worst, mean_ratio, worst_difference
from .summaries import Batches, Summary, summarize

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


def agreement(ours: Summary, theirs: Summary) -> Agreement:
    """Return how far two estimates of one picture agree."""
    bands, picture = theirs.bands.mean, theirs.picture.mean
    return Agreement(
        mean_ratio(ours.picture, theirs.picture),
        mean_ratio(ours.subject, theirs.subject),
        worst_difference(ours.bands / bands, theirs.bands / bands),
        worst_difference(ours.tiles / picture, theirs.tiles / picture),
    )


def check(case: str, ours: Batches, reference: Reference) -> None:
    """Record a line of the table, then fail where the kernel's pictures differ or are not known well enough to tell."""
    found = compare(ours, reference)
    note(SECTION, found.row(f"{case}, oracle live" if reference.traced == "live" else case))
    assert not found.faults, f"{case}: {'; '.join(found.faults)}"


def compare(ours: Batches, reference: Reference) -> Agreement:
    """Return how far the kernel's pictures agree with the oracle's."""
    return agreement(summarize(ours, reference.subject), reference.summary)
