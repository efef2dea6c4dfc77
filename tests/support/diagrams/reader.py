"""A builder who has a diagram's text alone, and types its lamps, cards and meters as an arrangement."""

from __future__ import annotations

import re
from collections.abc import Iterator
from pathlib import Path
from typing import Any, Final

import numpy as np
import pypdfium2

from scenes.geometry import direction_round

NUMBER: Final = r"\d+(?:\.\d+)?"
ACROSS, ALONG, UP = (rf"(?:0|{NUMBER} (?:{ways}))" for ways in ("left|right", "in front|behind", "up|down"))
AIM: Final = rf"the hero|the centre mark|shines all round|(?:over the mark|{ACROSS}, {ALONG}), {UP}"
WAYS: Final = {"left": -1, "right": 1, "in front": -1, "behind": 1, "up": 1, "down": -1}
FACING: Final = {"the camera": 0.0, "camera right": 90.0, "the wall": 180.0, "camera left": -90.0}


def text_of(pdf: Path) -> str:
    """Return the text of a PDF in one line a block, lines that were wrapped joined."""
    pages = [page.get_textpage().get_text_range() for page in pypdfium2.PdfDocument(pdf)]
    return "\n".join(pages).replace("\r\n", "\n")


def lux_by_lamp(text: str) -> list[float]:
    """Return what the meter should read of each lamp alone, lx."""
    return [float(lux) for lux in _row(text, "meter reads, lx", r"\S+")]


def arrangement_of(text: str, lamps: list[dict[str, Any]]) -> dict[str, Any]:
    """Return an arrangement's data as typed from a diagram's text; `lamps` has the keys of each lamp, by its number."""
    hero = np.array([*_ground(_after(text, "hero "))[:2], _height(_after(text, "hero "))])
    places = list(zip(_places(text), _numbers(text, "lamp's centre"), strict=True))
    aims = _row(text, "aimed at", AIM)
    dimmers = re.findall(rf"({NUMBER}) %(?:, {NUMBER} stops under)?|off", _line(text, "dimmer"))
    strings = _numbers(text, "meter from lamp")
    typed: dict[str, Any] = {"format": 1, "backdrop": _backdrop(text), "cards": list(_cards(text))}
    typed["lamps"], typed["meters"] = [], []
    for i, ((ground, height), aim, dimmer) in enumerate(zip(places, aims, dimmers, strict=True)):
        at = np.array([*ground, height])
        aimed = hero if aim in ("the hero", "the centre mark", "shines all round") else np.array(_point(aim))
        side = {"upright": 1, "level": -1}.get(_side(text, i), 0)
        size = lamps[i].get("size_cm")
        keys = {**lamps[i], **({"size_cm": sorted(size)[::side]} if size and side else {})}
        place = {"at_cm": at.tolist(), "aim_cm": aimed.tolist(), "dimmer": float(dimmer or 0) / 100}
        typed["lamps"].append({**keys, "name": f"lamp {i + 1}", **place})
        along = (hero - at) / np.linalg.norm(hero - at)
        meter = {"at_cm": (at + strings[i] * along).tolist(), "facing": (-along).tolist()}
        typed["meters"].append({"name": f"meter {i + 1}", **meter})
    return typed


def _line(text: str, name: str) -> str:
    found = re.search(rf"^{re.escape(name)} (.*)$", text, re.MULTILINE)
    assert found is not None, name
    return found[1]


def _row(text: str, name: str, cell: str) -> list[str]:
    return [found[0] for found in re.finditer(cell, _line(text, name))]


def _numbers(text: str, name: str) -> list[float]:
    return [_signed(words) for words in _row(text, name, rf"{NUMBER}(?: up| down)?")]


def _places(text: str) -> list[tuple[float, float]]:
    cell = rf"({ACROSS}), ({ALONG})"
    return [(_signed(found[1]), _signed(found[2])) for found in re.finditer(cell, _line(text, "from the mark"))]


def _signed(words: str) -> float:
    number, _, way = words.partition(" ")
    return float(number) * WAYS.get(way, 1)


def _point(words: str) -> tuple[float, float, float]:
    *ground, up = words.split(", ")
    x, y = (0.0, 0.0) if ground == ["over the mark"] else map(_signed, ground)
    return x, y, _signed(up)


def _after(text: str, word: str) -> str:
    """Return what follows after a word, where it stands last, to the end of the sentence."""
    joined = " ".join(text.split())
    return joined[joined.rindex(f"; {word}") + 2 + len(word) :].split(". ")[0]


def _ground(words: str) -> tuple[float, float]:
    x = re.search(rf"({NUMBER}) cm (left|right)", words)
    y = re.search(rf"({NUMBER}) cm (in front|behind)", words)
    return (float(x[1]) * WAYS[x[2]] if x else 0.0), (float(y[1]) * WAYS[y[2]] if y else 0.0)


def _height(words: str) -> float:
    up = re.search(rf"({NUMBER}) cm up", words)
    return float(up[1]) if up else 0.0


def _side(text: str, i: int) -> str:
    found = re.search(r"^longer side (.*)$", text, re.MULTILINE)
    sides = re.findall("upright|level|left to right|front to back", found[1]) if found else []
    return sides[i] if i < len(sides) else ""


def _backdrop(text: str) -> dict[str, Any]:
    pattern = rf"Sweep: (.*?), ({NUMBER}) x ({NUMBER}) cm; wall ({NUMBER}) cm behind"
    found = re.search(pattern, " ".join(text.split()))
    if found is None:
        return {"kind": "none"}
    sheet = [float(found[2]), float(found[3])]
    return {"reflectance": _board(found[1]), "distance_cm": float(found[4]), "sheet_cm": sheet}


def _board(words: str) -> float | str:
    percent = re.fullmatch(rf"({NUMBER}) % (?:black|grey|white) board", words)
    return float(percent[1]) / 100 if percent else words


def _cards(text: str) -> Iterator[dict[str, Any]]:
    joined = " ".join(text.split())
    pattern = (
        rf"(?<= )Card [A-Z]+, ([^:.]*): ([^;.]*?(?:\.5[^;.]*?)*), card centre ([^;]*); (?:A\d |letter )?(.*?), "
        rf"({NUMBER}) (cm|mm) wide, ({NUMBER}) (?:cm|mm) (?:high|deep)\."
    )
    for name, ground, rest, board, width, unit, height in re.findall(pattern, joined):
        x, y = _ground(ground)
        cm = 1.0 if unit == "cm" else 0.1
        yield {
            "name": name, "at_cm": [x, y, _height(rest.split(", ")[0])],
            "size_cm": [float(width) * cm, float(height) * cm],
            "facing": _facing(rest, x, y), "reflectance": _board(board),
        }  # fmt: skip


def _facing(words: str, x: float, y: float) -> list[float]:
    if "flat on the table" in words or "level, facing" in words:
        return [0.0, 0.0, -1.0 if "facing down" in words else 1.0]
    lean = re.search(rf"leaning (back|forward) ({NUMBER}) degree", words)
    rise = 0.0 if lean is None else float(lean[2]) * (1 if lean[1] == "back" else -1)
    if turned := re.search(rf"facing ({NUMBER}) degrees? from the camera to the (left|right)", words):
        round_deg = float(turned[1]) * WAYS[turned[2]]
    elif "facing the model" in words or "facing the centre mark" in words:
        round_deg = float(np.degrees(np.arctan2(-x, y)))
    else:
        round_deg = next(deg for name, deg in FACING.items() if f"facing {name}" in words)
    return [float(v) for v in direction_round(round_deg, rise)]
