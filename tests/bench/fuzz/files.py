"""The folder that the command is run in: whole files of every kind, and things that only look like files."""

from __future__ import annotations

import os
from functools import cache
from pathlib import Path
from typing import Final

import trimesh

ENDINGS: Final = (".toml", ".ies", ".ldt", ".csv", ".spdx", ".txt", ".stl", ".obj")
"""Of what looks like a file and is none."""
DATA: Final = Path(__file__).parents[2] / "data"

LDT: Final = "\r\n".join(
    ["maker", "1", "0", "4", "90", "3", "45", "report", "name", "number", "file", "date", "300", "200", "50"]
    + ["200", "100", "1", "2", "3", "4", "100", "80", "1", "0", "1", "1", "LED", "2000", "4000 K", "90", "25"]
    + ["0.5"] * 10 + ["0", "90", "180", "270", "0", "45", "90"] + ["200", "100", "5"] * 4
)  # fmt: skip
IES: Final = """IESNA:LM-63-2002
[TEST] a made-up lamp
TILT=INCLUDE
1
2
0 90
1 0.9
1 1000 1 3 4 1 2 0.1 0.2 0
1 1 15
0 45 90
0 90 180 270
200 100 5 220 90 4 200 100 5 180 110 6
"""
SPDX: Final = """<?xml version="1.0" encoding="utf-8"?>
<IESTM2714 xmlns="http://www.ies.org/iestm2714" version="1.0">
<Header><Description>a made-up lamp</Description></Header>
<SpectralDistribution><SpectralQuantity>relative</SpectralQuantity>
{rows}
</SpectralDistribution></IESTM2714>
"""
KIT: Final = """# what is owned
[[lamps]]
name = "big panel"
size_cm = [30, 20]
lumens = 2000
kelvin_range = [3000, 6000]
spectrum = "led"
[[lamps]]
name = "spot"
photometry = "lamp.ies"
spectrum = "lamp.csv"
[[lamps]]
name = "globe"
kind = "bulb"
diameter_cm = 6
watts = 9
""".replace('spectrum = "led"\n', "")
NO_FILES: Final = ("pipe", "ring", "out", "folder", "empty", "device", "gone")
"""The beginnings of their names."""
ODD_NAMES: Final = (
    "..", ".", "/", "", "../lamp.ies", "./lamp.ies", "/etc/passwd", "/dev/zero", "/dev/stdin", "~/x.csv", "lamp.ies/",
    "a\0b.csv", "\0.toml", "x" * 300 + ".csv", "x/" * 3000 + "a.csv", "C:\\x.csv", "..\\x.csv", "//host/x.csv",
    "con.csv", "*.csv", "\u202evsc.csv", "\x1b[31m.csv", "file:///etc/passwd", ".csv", "lamp.ies", "lamp.ldt",
    "lamp.csv", "lamp.spdx", "paint.csv", "kit.toml", "whole.toml", "box.stl", "demo:", "demo:x", "stand-in:",
    "stand-in:x", "stand-in:spoon", *(what + ending for ending in ENDINGS for what in NO_FILES),
)  # fmt: skip
"""Values for a key that names a file, most of them of no file that may be read."""
ODD_ARGUMENTS: Final = (*(name.replace("\0", "") or "." for name in ODD_NAMES if name != "stand-in:spoon"), "bad.toml")
"""Values for a word of the command that names a file: as programs are given them, without a zero byte."""


@cache
def whole_files() -> dict[str, bytes]:
    """Return undamaged files by name: a mesh, a kit, and measured lamps and colours."""
    rows = [(nm, 10 + nm % 7) for nm in range(380, 740, 10)]
    xml = "\n".join(f'<SpectralData wavelength="{nm}">{value}</SpectralData>' for nm, value in rows)
    columns = "".join(f"{nm},{value}\n" for nm, value in rows)
    return {
        "box.stl": trimesh.creation.box((4, 4, 10)).export(file_type="stl"),
        "lamp.ies": IES.encode(), "downlight.ies": (DATA / "downlight.ies").read_bytes(), "lamp.ldt": LDT.encode(),
        "lamp.csv": columns.encode(), "lamp.txt": columns.replace(",", "\t").encode(),
        "lamp.spdx": SPDX.format(rows=xml).encode(), "paint.csv": f"nm,per cent\n{columns}".encode(),
        "paints.csv": columns.replace(",", ";0,").encode(), "kit.toml": KIT.encode(),
        "whole.toml": b'[subject]\nmesh = "box.stl"\nheight_cm = 10\n',
    }  # fmt: skip


def prepare(folder: Path) -> None:
    """Write the whole files into a folder, beside pipes, links, rings of links, folders and devices."""
    for name, content in whole_files().items():
        (folder / name).write_bytes(content)
    outside = folder.parent / f"{folder.name}-outside"
    outside.write_text("secret\n", encoding="utf-8")
    for ending in ENDINGS:
        os.mkfifo(folder / f"pipe{ending}")
        (folder / f"ring{ending}").symlink_to(f"ring{ending}")
        (folder / f"out{ending}").symlink_to(outside)
        (folder / f"folder{ending}").mkdir()
        (folder / f"empty{ending}").touch()
        (folder / f"device{ending}").symlink_to("/dev/zero")
