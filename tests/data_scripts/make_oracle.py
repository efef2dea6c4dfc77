"""Write what the oracle gives of every case to `tests/data/oracle`, or of the cases that are named.

Run from the repository root: ``python -m tests.data_scripts.make_oracle [CASE ...]``. It takes some minutes.
"""

from __future__ import annotations

import sys
from collections.abc import Sequence

from tests.support.kernel.cases import cases
from tests.support.kernel.references import keep, live


def main(names: Sequence[str]) -> None:
    """Trace cases and write their files."""
    for name in names or cases():
        print(keep(name, live(name)))


if __name__ == "__main__":
    main(sys.argv[1:])
