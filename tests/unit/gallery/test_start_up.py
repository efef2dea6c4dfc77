"""Listing imports nothing that takes long to load."""

from __future__ import annotations

import subprocess
import sys

HEAVY = {"scipy", "PIL", "imageio", "trimesh", "rich", "networkx", "mitsuba", "drjit", "render"}
SCRIPT = """
import sys
from gallery.cli import app
app(["list", "setups"], standalone_mode=False)
print(*sorted({name.partition(".")[0] for name in sys.modules}), file=sys.stderr)
"""


def test_the_list_of_setups_loads_no_heavy_package() -> None:
    ran = subprocess.run([sys.executable, "-c", SCRIPT], capture_output=True, text=True, check=True)
    loaded = set(ran.stderr.split())
    assert "scenes" in loaded
    assert not loaded & HEAVY
