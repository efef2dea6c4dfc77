"""The `new` command: a commented arrangement for a mesh, and three views to check which way it faces."""

from __future__ import annotations

import math
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray
from PIL import Image, ImageDraw, ImageFont

from gallery.files.pictures import write_picture
from gallery.inputs import open_input
from materials.arrays import Vector
from materials.colour.srgb import srgb_encode
from render.description.scene import Camera, Geometry, describe
from render.images.store import write_whole
from render.kernel.trace import Tracer
from scenes.arrangement.resolving import ResolvedArrangement
from scenes.builtin.standin import STAND_IN
from scenes.errors import InputError
from scenes.geometry import unit
from scenes.setups.placed import place_setup
from scenes.text import is_printable, listed, printable

VIEW_PX, STRIP_PX = 360, 34
VIEWS = (
    ("from the camera: the face should look at you", (0.0, -1.0, 0.0)),
    ("from camera right: the face should look left", (1.0, 0.0, 0.0)),
    ("from above: the face should look down the page", (0.0, -1e-4, 1.0)),
)
DISTANCE_SIZES = 6.0
MOST_PARTS = 40  # that are named


def start_arrangement(mesh: Path, out: Path | None, sizing: dict[str, Any]) -> tuple[Path, Path]:
    """Write an arrangement for a mesh and its three views, and return their paths.

    Raises
    ------
    InputError
        Where the mesh cannot be used, or the arrangement is there already or does not lie beside the mesh.
    """
    if mesh.suffix.lower() == ".toml":
        raise InputError(f"{mesh}: `new` takes a mesh and writes the arrangement")
    if any("\ud800" <= c <= "\udfff" for c in mesh.name):
        raise InputError(f"{mesh}: its name is no text that an arrangement could name it by; rename it")
    arrangement = open_input(mesh, sizing)
    path = out or mesh.with_name(mesh.name.removeprefix(STAND_IN)).with_suffix(".toml")
    if path.exists():
        raise InputError(f"{path}: it is there already; name another with --out, or move it away")
    if path.parent.resolve() != mesh.parent.resolve():
        raise InputError(f"--out {path}: an arrangement lies in the folder of its mesh, {mesh.parent}")
    views = path.with_name(f"{path.stem}-views.png")
    try:
        write_picture(views, np.asarray(draw_views(arrangement)))
        write_whole(path, lambda file: file.write(_text(mesh, arrangement, sizing).encode()))
    except PermissionError:
        raise InputError(f"{path.parent}: cannot be written to; copy the mesh to a folder of yours") from None
    return path, views


def draw_views(arrangement: ResolvedArrangement) -> Image.Image:
    """Return the subject from the camera, from camera right and from above, shaded by its shape alone."""
    placed = place_setup("butterfly", arrangement, 1.0)
    geometry = describe(placed, arrangement.finishes, VIEW_PX, VIEW_PX)
    model = tuple(s for s in geometry.surfaces if s.kind == "subject")
    points = np.concatenate([s.vertices for s in model]).astype(float)
    page = Image.new("RGB", (VIEW_PX * len(VIEWS), VIEW_PX + STRIP_PX), (250, 250, 248))
    draw = ImageDraw.Draw(page)
    for i, (said, side) in enumerate(VIEWS):
        camera = _looking_from(unit(side), points)
        features = Tracer(Geometry(model, camera)).features
        page.paste(Image.fromarray(_shaded(features.normal, features.subject, camera)), (i * VIEW_PX, 0))
        draw.text((i * VIEW_PX + 8, VIEW_PX + 8), said, (28, 28, 28), ImageFont.load_default(14))
    return page


def _looking_from(side: Vector, points: Vector) -> Camera:
    low, high = points.min(axis=0), points.max(axis=0)
    radius = float(np.linalg.norm(high - low)) / 2
    right = unit(np.cross(-side, [0.0, 0.0, 1.0]))
    axes = np.column_stack([right, np.cross(right, -side), -side])
    distance = DISTANCE_SIZES * 2 * radius
    return Camera((low + high) / 2 + side * distance, axes, math.tan(math.asin(radius / distance)), VIEW_PX, VIEW_PX)


def _shaded(normal: NDArray[np.float32], share: NDArray[np.float32], camera: Camera) -> NDArray[np.uint8]:
    towards = np.abs(normal @ (-camera.axes[:, 2] + 0.5 * camera.axes[:, 1]).astype(np.float32)) / 1.12
    grey = 0.05 + 0.55 * towards
    linear = grey * share + 0.85 * (1 - share)
    rgb = np.round(255 * srgb_encode(np.clip(linear, 0, 1))).astype(np.uint8)
    return np.repeat(rgb[..., None], 3, axis=-1)


def _text(mesh: Path, arrangement: ResolvedArrangement, sizing: dict[str, Any]) -> str:
    subject = arrangement.subject
    if subject is None:
        raise InputError(f"{mesh}: no subject came of it")
    given = {key: value for key, value in sizing.items() if value is not None}
    size = next((k for k in ("height_cm", "length_cm", "width_cm") if k in given), "height_cm")
    value = given.get(size, round(subject.height_cm, 2))
    parts = listed([printable(part.name) for part in subject.parts], MOST_PARTS, "\n#   ", "\n#   and {} more")
    optional = "".join(f"{key} = {_toml(given[key])}\n" for key in ("up", "front") if key in given)
    return ARRANGEMENT.format(
        title=_toml(printable(subject.name)), mesh=_toml(mesh.name), size=size, value=value, optional=optional,
        faces=given.get("faces_deg", 0), parts=parts, first=_toml(subject.parts[0].name),
    )  # fmt: skip


def _toml(text: str) -> str:
    """Return text as a basic string of TOML."""
    escaped = text.replace("\\", "\\\\").replace('"', '\\"')
    return '"' + "".join(c if is_printable(c) else f"\\U{ord(c):08X}" for c in escaped) + '"'


ARRANGEMENT = """\
# An arrangement: your model, camera, backdrop and lamps. Lengths in cm.
# Make the contact sheet:  spruelight sheet THIS-FILE
format = 1
title = {title}

[subject]
mesh = {mesh}
{size} = {value}            # what the real model measures; height_cm, length_cm or width_cm
{optional}faces_deg = {faces}             # 0 looks at the camera, + turns it to camera right
# up = "z"                  # the file's axis that points up, if the views show it lying down
# front = "-y"              # the file's axis that the face looks along, if the views show another side
# hero = {first}            # the part that lamps aim at; without it the upper part
# topcoat = "satin"         # gloss, semi-gloss, satin, matt, or gloss units
# no_topcoat = ["canopy*"]  # parts that the topcoat leaves out
# hide = ["support*"]       # parts that are left out of the picture

# The parts found in the mesh:
#   {parts}

# [[subject.parts]]         # a finish for the parts that match; the last that matches says
# match = "*"
# base = "#8c8c8c"          # the colour as seen, without its shine
# gloss = 27                # gloss units; or metal = true with roughness = 0.2; or paint = "metallic"; or clear = true

# [subject.wash]            # a thin dark paint that settles in recesses
# strength = 0.7
# width_mm = 0.3            # of the lines

[camera]
kind = "phone"              # or "camera"
fill_frame = 0.75           # how much of the frame the model takes
white_balance = "auto"      # or kelvin

[backdrop]
reflectance = "grey card"   # or "white paper", "black cloth", a number from 0 to 1
# sheet_cm = [70, 100]      # what your sheet measures: width and length

[room]
lux = "dark"                # or "evening lamp", "lit room", "window", a number

# The lamps you own, in the order setups should use them. Without any, generic ones are taken.
# Lamps and bulbs run hot and batteries can burn: follow the maker's instructions, keep the distance to paper and
# cloth that the lamp's label asks for, and leave mains wiring to licensed hands.
# [[lamps]]
# name = "desk panel"
# kind = "panel"            # panel, disc, ring, bulb; or preset = "clip lamp": see  spruelight list lamps
# size_cm = [20, 14]        # or diameter_cm for a disc, a ring or a bulb
# lumens = 1000             # or lux_at = {{lux = 900, cm = 50}}, what a light meter reads before it in the dark
# kelvin = 4000             # with kelvin_range = [3200, 5600] if it can be set
"""
