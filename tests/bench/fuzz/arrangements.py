"""Damaged arrangements, kits and setups."""

from __future__ import annotations

import random
import tomllib
from importlib import resources
from typing import Final

from . import texts
from .case import Case
from .files import ODD_NAMES, whole_files
from .trees import alter_tree, damage_tree, toml
from .vocabulary import vocabulary

SUBJECT: Final = 'format = 1\n[subject]\nmesh = "box.stl"\nheight_cm = 10\n'
ARRANGEMENTS: Final = (
    SUBJECT
    + """title = "a box"
up = "z"
front = "-y"
faces_deg = 20
hero = "mod*"
topcoat = "satin"
hide = []
flatten = 0.5
triangles = 2000
[subject.plinth]
height_cm = 1.5
margin_cm = 0.5
base = "#302820"
gloss = 20
[[subject.parts]]
match = "*"
base = "lab(52, 41, 30)"
gloss = 12
[[subject.parts]]
match = "model"
metal = "copper"
roughness = 0.3
[[subject.parts]]
match = "box*"
base = "paint.csv"
paint = "pearl"
""".replace('title = "a box"\n', ""),
    SUBJECT
    + """[camera]
kind = "camera"
distance_cm = 60
height_cm = 20
fill_frame = 0.6
f_number = 11
shutter_s = 0.02
iso = 100
white_balance = 4000
[backdrop]
reflectance = "white paper"
sheet_cm = [80, 160]
distance_cm = 20
[room]
lux = "evening lamp"
kelvin = 2900
[[lamps]]
name = "key"
preset = "desk panel"
dimmer = 0.8
at_cm = [-30, -30, 30]
aim_cm = [0, 0, 5]
grid_deg = 40
[[lamps]]
name = "spot"
kind = "disc"
diameter_cm = 5
lux_at = {lux = 500, cm = 50}
spectrum = "lamp.csv"
photometry = "lamp.ldt"
[[cards]]
name = "bounce"
size_cm = [20, 15]
colour = "#e0d0c0"
at_cm = [25, 0, 10]
facing = [-1, 0, 0]
trifold = {wing_cm = 5, open_deg = 120}
[[meters]]
name = "face"
at_cm = [0, -6, 5]
facing = [0, -1, 0]
size_cm = [2, 2]
""",
    """format = 1
title = "an empty table"
kit = "kit.toml"
[backdrop]
kind = "none"
[[lamps]]
name = "ring"
kind = "ring"
diameter_cm = 20
hole_cm = 15
lumens = 900
spectrum = "FL1"
beam_deg = 90
at_cm = [0, -60, 30]
aim_cm = [0, 0, 0]
[[lamps]]
name = "tube"
kind = "disc"
diameter_cm = 9
watts = 10
kelvin_range = [2800, 6500]
kelvin = 3000
snoot = {length_cm = 10, diameter_cm = 4}
at_cm = [40, -60, 30]
aim_cm = [0, 0, 0]
[[lamps]]
name = "globe"
at_cm = [-30, -10, 30]
[[meters]]
name = "middle"
at_cm = [0, 0, 0]
facing = [0, 0, 1]
""",
    """[subject]
mesh = ["box.stl"]
scale = "1:35"
real_length_m = 2
[subject.wash]
colour = "#241c16"
strength = 0.5
width_mm = 0.4
""",
)
SETUPS: Final = tuple(
    (resources.files("scenes.setups") / f"data/{name}.toml").read_text(encoding="utf-8")
    for name in ("three-point", "butterfly-card", "rim", "high-key", "kicker", "clamshell")
)
COMMANDS: Final = (("proof", "three-point"), ("proof", "as-placed"), ("proof", "rim"), ("meter",), ("check",))
WITH_KIT: Final = b'kit = "bad.toml"\n[[lamps]]\nname = "big panel"\ndimmer = 0.5\n' + SUBJECT[len("format = 1\n") :].encode()


def arrangement(draw: random.Random) -> Case:
    """Draw an arrangement, damaged, and a command that takes one."""
    words = draw.choice(COMMANDS)
    if draw.random() < 0.02:
        return Case({}, (*words, _safe(draw.choice(ODD_NAMES))))
    return Case({"bad.toml": damaged_toml(draw.choice(ARRANGEMENTS), draw)}, (*words, "bad.toml"))


def kit(draw: random.Random) -> Case:
    """Draw a kit, damaged, for an arrangement that takes its lamps from it."""
    files = {"bad.toml": damaged_toml(whole_files()["kit.toml"].decode(), draw), "a.toml": WITH_KIT}
    return Case(files, ("proof", draw.choice(["three-point", "rim"]), "a.toml"))


def setup(draw: random.Random) -> Case:
    """Draw a setup, damaged, put up round a box."""
    name = "bad.toml" if draw.random() > 0.02 else _safe(draw.choice(ODD_NAMES)) + ".toml"
    return Case({"bad.toml": damaged_toml(draw.choice(SETUPS), draw)}, ("proof", name, "whole.toml"))


def damaged_toml(text: str, draw: random.Random) -> bytes:
    """Return TOML damaged as text, or as the data in it."""
    if draw.random() < 0.3:
        return texts.damage(text.encode(), draw)
    tree = tomllib.loads(text)
    way = draw.choice([alter_tree, damage_tree])
    for _ in range(draw.choice([1, 1, 1, 2, 5])):
        tree = way(tree, draw, vocabulary())
    data = toml(tree)
    return texts.damage(data, draw) if draw.random() < 0.05 else data


def _safe(name: str) -> str:
    """Return a name as an argument of a program can be: without a zero byte, and not as an option."""
    return name.replace("\0", "") or "."
