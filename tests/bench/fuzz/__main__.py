"""Damage inputs of one kind and run the command on them until the time is up, and print what came of it."""

from __future__ import annotations

import random
import shutil
import sys
import tempfile
import time
from collections import Counter
from pathlib import Path

from .child import Child
from .command import FINE
from .files import prepare
from .kinds import KINDS


def main() -> None:
    """Run one kind for some seconds from a seed."""
    kind, seconds, seed = sys.argv[1], float(sys.argv[2]), int(sys.argv[3]) if len(sys.argv) > 3 else 0
    kept = Path(tempfile.mkdtemp(prefix=f"fuzzed-{kind}-"))
    folder = kept / "here"
    folder.mkdir()
    prepare(folder)
    counts: Counter[str] = Counter()
    slowest, largest = 0.0, 0
    whole = KINDS[kind]()
    child, draw, end = Child(folder), random.Random(seed), time.monotonic() + seconds
    while time.monotonic() < end:
        case = draw.choice(whole).damaged(draw)
        ending = child.run(case.written(folder))
        if ending.outcome not in FINE:
            failed = kept / f"{counts.total():06d}"
            failed.mkdir()
            for name in case.files:
                shutil.copy(folder / name, failed)
            print(f"{failed}, seed {seed}, {case.words}: {ending.outcome}"[:600], flush=True)
        counts[ending.outcome.partition(":")[0]] += 1
        slowest, largest = max(slowest, ending.seconds), max(largest, ending.peak_bytes)
    child.close()
    print(f"{kind}, seed {seed}: {counts.total()} inputs, slowest {slowest:.1f} s, most memory {largest / 1e6:.0f} MB")
    for outcome, count in sorted(counts.items()):
        print(f"  {outcome:20} {count}")


if __name__ == "__main__":
    main()
