"""Wrong lamps, kits and lamp files: one clear sentence on stderr, exit status 2, no traceback."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.support.command import run
from tests.unit.scenes.lamps.files.test_ies import ies
from tests.unit.scenes.lamps.files.test_tm27 import FILE as TM27

from .test_bad_input import ARRANGEMENT, LAMP, folder

__all__ = ["folder"]  # the fixture

BULB = '[[lamps]]\nname = "a"\nkind = "bulb"\ndiameter_cm = 6\n'
PHOTOMETRY = LAMP + 'photometry = "lamp.ies"\n'
CSV = LAMP + 'spectrum = "lamp.csv"\n'
SPDX = LAMP + 'spectrum = "lamp.spdx"\n'
KIT = 'kit = "mine.toml"\n'
FIXED = "at_cm = [-20, -30, 30]\naim_cm = [0, 0, 5]\n"
BY_HAND = LAMP + FIXED
CARD = '[[cards]]\nname = "b"\nsize_cm = [10, 10]\nat_cm = [-20, -30, 30]\nfacing = [1, 0, 0]\n'
GOOD = ies(candela="100 0")
COLUMNS = "".join(f"{nm},1\n" for nm in range(380, 781, 10))

# what the arrangement says of its lamps, the file beside it and its content, what the message has to name
CASES: dict[str, tuple[str, str, str, tuple[str, ...]]] = {
    "IES truncated": (PHOTOMETRY, "lamp.ies", GOOD[: GOOD.index("0 90")], ("lamp.ies: ", "it is cut short")),
    "IES cut in its header": (PHOTOMETRY, "lamp.ies", GOOD[: GOOD.index("1 -1") + 6], ("lamp.ies: ", "cut short")),
    "IES negative": (PHOTOMETRY, "lamp.ies", ies(candela="100 -5"), ("lamp.ies: line 8", "'-5'", "at least 0")),
    "IES not ascending": (PHOTOMETRY, "lamp.ies", ies(vertical="0 60 30", candela="1 1 1"), ("lamp.ies: ", "vertical")),
    "IES of no unit": (
        PHOTOMETRY,
        "lamp.ies",
        ies(kind="1 3"),
        ("lamp.ies: line 4", "'3'", "1 for feet, 2 for metres"),
    ),
    "IES of type B": (PHOTOMETRY, "lamp.ies", ies(kind="2 2"), ("lamp.ies: ", "type B", "type C")),
    "IES of huge count": (
        PHOTOMETRY,
        "lamp.ies",
        ies(counts="999999999 1"),
        ("lamp.ies: line 4", "'999999999'", "10000"),
    ),
    "IES promising more": (PHOTOMETRY, "lamp.ies", ies(counts="10000 10000"), ("lamp.ies: ", "it is cut short")),
    "IES of words": (PHOTOMETRY, "lamp.ies", ies(candela="100 nan"), ("lamp.ies: line 8", "'nan'", "a number")),
    "IES dark": (PHOTOMETRY, "lamp.ies", ies(candela="0 0"), ("lamp.ies: ",)),
    "no photometric file": (PHOTOMETRY, "lamp.ies", "bread\nmilk\n", ("lamp.ies: ", "TILT=")),
    "photometry empty": (PHOTOMETRY, "lamp.ies", "", ("lamp.ies: it is empty",)),
    "photometry of another ending": (
        PHOTOMETRY.replace("lamp.ies", "lamp.csv"),
        "lamp.csv",
        COLUMNS,
        ("lamp.csv: it ends in '.csv'", ".ies"),
    ),
    "photometry missing": (PHOTOMETRY, "x", "", ('a.toml: lamps[1].photometry = "lamp.ies"', "no such file")),
    "photometry outside the folder": (
        PHOTOMETRY.replace('"lamp', '"../lamp'),
        "x",
        "",
        ('a.toml: lamps[1].photometry = "../lamp.ies"', "folder"),
    ),
    "TM-27 malformed": (SPDX, "lamp.spdx", TM27.replace("</Header>", ""), ("lamp.spdx: it is no whole XML file",)),
    "TM-27 truncated": (SPDX, "lamp.spdx", TM27[:600], ("lamp.spdx: it is no whole XML file",)),
    "TM-27 of another standard": (
        SPDX,
        "lamp.spdx",
        "<svg/>",
        ("lamp.spdx: its outermost element is <svg>", "IESTM2714"),
    ),
    "TM-27 of a filter": (
        SPDX,
        "lamp.spdx",
        TM27.replace("flux", "transmittance"),
        ("lamp.spdx: ", "'transmittance'", "flux"),
    ),
    "TM-27 with a doctype": (
        SPDX,
        "lamp.spdx",
        TM27.replace("<IESTM2714", "<!DOCTYPE a>\n<IESTM2714"),
        ("lamp.spdx: ", "<!DOCTYPE>"),
    ),
    "CSV negative": (
        CSV,
        "lamp.csv",
        COLUMNS.replace("550,1", "550,-1"),
        ("lamp.csv: line 18", "-1 at 550 nm", "0 or more"),
    ),
    "CSV in micrometres": (
        CSV,
        "lamp.csv",
        "".join(f"{nm / 1000},1\n" for nm in range(380, 781, 10)),
        ("lamp.csv: ", "micrometres", "nm"),
    ),
    "CSV huge": (CSV, "lamp.csv", COLUMNS + "#" * 6_000_000, ("lamp.csv: it is larger than 5 MB",)),
    "CSV dark": (CSV, "lamp.csv", COLUMNS.replace(",1", ",0"), ("lamp.csv: ", "it holds no light")),
    "CSV of three columns": (CSV, "lamp.csv", COLUMNS + "790,1,1\n", ("lamp.csv: line 42", "two")),
    "CSV too short": (
        CSV,
        "lamp.csv",
        COLUMNS[: COLUMNS.index("600")],
        ("lamp.csv: wavelengths run from 380 to 590 nm",),
    ),
    "spectrum missing": (CSV, "x", "", ('a.toml: lamps[1].spectrum = "lamp.csv"', "no such file")),
    "kelvin outside its range": (
        LAMP + "kelvin_range = [3200, 5600]\nkelvin = 7000\n",
        "x",
        "",
        ('a.toml: lamps[1] "a": kelvin = 7000', "3200 to 5600"),
    ),
    "unknown preset": (
        '[[lamps]]\nname = "a"\npreset = "desk pannel"\n',
        "x",
        "",
        ("a.toml: lamps[1]", "'desk pannel'", "'desk panel'"),
    ),
    "unknown spectrum": (LAMP + 'spectrum = "leds"\n', "x", "", ('lamps[1] "a": spectrum', "'leds'", "'led'")),
    "unknown diffuser": (
        LAMP + 'diffuser = "tracing papr"\n',
        "x",
        "",
        ('lamps[1] "a": diffuser', "'tracing paper'"),
    ),
    "lux beside lumens": (
        LAMP + "lumens = 900\nlux_at = { lux = 500, cm = 50 }\n",
        "x",
        "",
        ('lamps[1] "a": lux_at', "lumens"),
    ),
    "lux without a distance": (
        LAMP + "lux_at = { lux = 500 }\n",
        "x",
        "",
        ("a.toml: lamps[1] \"a\": key 'lux_at.cm' is missing",),
    ),
    "ring without a hole": (
        '[[lamps]]\nname = "a"\nkind = "ring"\ndiameter_cm = 26\n',
        "x",
        "",
        ('a.toml: lamps[1] "a": hole_cm is missing',),
    ),
    "bulb with a beam": (BULB + "beam_deg = 40\n", "x", "", ('lamps[1] "a": a bulb', "beam_deg", "disc")),
    "card inside a lamp": (BY_HAND + CARD, "x", "", ("a.toml: lamp 'a' and card 'b' overlap",)),
    "lamps overlapping": (
        BY_HAND + BY_HAND.replace('"a"', '"c"'),
        "x",
        "",
        ("a.toml: lamp 'a' and lamp 'c' overlap",),
    ),
    "lamp below the table": (
        LAMP + "at_cm = [0, -30, 2]\naim_cm = [0, 0, 2]\n",
        "x",
        "",
        ("a.toml: lamp 'a'", "below the table"),
    ),
    "two lamps of one name": (LAMP + LAMP, "x", "", ("a.toml: two lamps are called 'a'",)),
    "kit missing": (KIT, "x", "", ('a.toml: kit = "mine.toml": there is no such file',)),
    "kit with a wrong key": (
        KIT,
        "mine.toml",
        LAMP + "lumen = 3\n",
        ("mine.toml: lamps[1] \"a\": unknown key 'lumen'", "'lumens'"),
    ),
    "kit that is no TOML": (KIT, "mine.toml", "lamps = [\n", ("mine.toml: not valid TOML",)),
    "kit whose file is wrong": (KIT, "mine.toml", PHOTOMETRY, ('mine.toml: lamps[1].photometry = "lamp.ies"',)),
}
BROKEN: dict[str, tuple[str, tuple[str, ...]]] = {
    "LED warmer than any": (LAMP + 'spectrum = "led"\nkelvin = 1200\n', ("1200", "1800")),
    "bi-colour LED warmer than any": (LAMP + "kelvin_range = [1200, 5600]\n", ("1200", "1800")),
    "meter inside a bulb": (BULB + "lux_at = { lux = 100, cm = 2 }\n", ("lux_at",)),
    "name that is a list": (KIT + '[[lamps]]\nname = ["a"]\n', ("lamps[1].name",)),
}


def _told(folder: Path, lamps: str) -> str:
    """Return the one sentence of what `check` refuses."""
    kit, rest = (KIT, lamps.removeprefix(KIT)) if lamps.startswith(KIT) else ("", lamps)
    (folder / "a.toml").write_text(kit + ARRANGEMENT + rest)
    before = sorted(p.name for p in folder.iterdir())
    ran = run(folder, "check", "a.toml")
    assert "Traceback" not in ran.stderr
    assert ran.returncode == 2, ran.stderr
    assert ran.stdout == ""
    assert ran.stderr.startswith("spruelight: ")
    assert len(ran.stderr.strip().splitlines()) == 1
    assert sorted(p.name for p in folder.iterdir()) == before
    return ran.stderr


@pytest.mark.parametrize("case", CASES)
def test_a_wrong_lamp_is_told_in_one_sentence_with_exit_status_2(case: str, folder: Path) -> None:
    lamps, beside, content, told = CASES[case]
    (folder / beside).write_text(content)
    sentence = _told(folder, lamps)
    assert [part for part in told if part not in sentence] == [], sentence


@pytest.mark.parametrize("case", BROKEN)
def test_a_lamp_that_cannot_be_is_told_like_any_other(case: str, folder: Path) -> None:
    lamps, told = BROKEN[case]
    (folder / "mine.toml").write_text(LAMP)
    sentence = _told(folder, lamps)
    assert [part for part in ("a.toml", *told) if part not in sentence] == [], sentence


def test_a_sheet_refuses_a_lamp_as_check_does(folder: Path) -> None:
    (folder / "lamp.ies").write_text("bread\n")
    (folder / "a.toml").write_text(ARRANGEMENT + PHOTOMETRY)
    checked, shot = run(folder, "check", "a.toml"), run(folder, "sheet", "a.toml")
    assert (shot.returncode, shot.stderr) == (checked.returncode, checked.stderr)
    assert not (folder / "sheet").exists()


def test_more_lamps_than_are_owned_is_no_error_and_is_said(folder: Path) -> None:
    (folder / "a.toml").write_text(ARRANGEMENT + LAMP)
    ran = run(folder, "check", "a.toml")
    assert (ran.returncode, ran.stderr) == (0, "")
    assert "- three-point needs 3 lamps, 1 owned: a generic panel of 4000 K is the fill\n" in ran.stdout
