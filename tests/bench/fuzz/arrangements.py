"""Whole arrangements, kits and setups, to be damaged."""

from __future__ import annotations

from importlib import resources
from typing import Final

from .case import Case
from .files import KIT

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
[room.clear_cm]
left = 60
above = 90
[[lamps]]
name = "key"
preset = "desk panel"
dimmer = 0.8
nearest_cm = 20
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
[[cards]]
size_cm = [21, 29.7]
reflectance = "white paper"
[[meters]]
name = "face"
at_cm = [0, -6, 5]
facing = [0, -1, 0]
size_cm = [2, 2]
""",
    """format = 1
title = "an empty table"
kit = "kit.toml"
cards = ["A4 white paper", "black foam board", {size_cm = "letter", reflectance = "kitchen foil"}]
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
WITH_KIT: Final = f'kit = "bad.toml"\n[[lamps]]\nname = "big panel"\ndimmer = 0.5\n{SUBJECT.removeprefix("format = 1")}'
SETUPS: Final = ("three-point", "butterfly-card", "rim", "high-key", "kicker", "clamshell")


def whole_arrangements() -> tuple[Case, ...]:
    """Return arrangements, each for commands that take it."""
    figure, studio, table, washed = ARRANGEMENTS
    return (
        *_taken_by(figure, ("proof", "three-point"), ("proof", "rim"), ("check",)),
        *_taken_by(studio, ("proof", "as-placed"), ("meter",), ("proof", "three-point", "--json")),
        *_taken_by(table, ("proof", "as-placed"), ("meter",), ("check",)),
        *_taken_by(washed, ("proof", "three-point")),
    )


def whole_kits() -> tuple[Case, ...]:
    """Return a kit, for an arrangement that takes its lamps from it."""
    files = {"bad.toml": KIT.encode(), "a.toml": WITH_KIT.encode()}
    return tuple(Case(files, ("proof", setup, "a.toml")) for setup in ("three-point", "overhead"))


def whole_setups() -> tuple[Case, ...]:
    """Return setups, put up round a box."""
    files = resources.files("scenes.setups") / "data"
    return tuple(
        Case({"bad.toml": (files / f"{name}.toml").read_bytes()}, ("proof", "bad.toml", "whole.toml"))
        for name in SETUPS
    )


def _taken_by(text: str, *commands: tuple[str, ...]) -> tuple[Case, ...]:
    return tuple(Case({"bad.toml": text.encode()}, (*words, "bad.toml")) for words in commands)
