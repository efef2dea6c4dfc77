"""The text of a new arrangement: keys that are set, and the others as comments to choose from."""

from __future__ import annotations

from pathlib import Path
from typing import Any, Final

from gallery.files.toml_text import toml_string
from scenes.arrangement.resolving import ResolvedArrangement
from scenes.arrangement.sizing_model import Sizing
from scenes.errors import InputError
from scenes.subject.orientation.ranking import current_orientation, opposite
from scenes.text import listed, printable

SIZE_KEYS: Final = frozenset(Sizing.model_fields)
MOST_PARTS: Final = 40
"""Parts that are named one by one."""


def starter_text(mesh: Path, arrangement: ResolvedArrangement, sizing: dict[str, Any], guess: str = "") -> str:
    """Return a commented arrangement, TOML, for a mesh; `sizing` has the subject's keys given on the command line.

    `guess` is the reason for an `up` and a `front` that were guessed.

    Raises
    ------
    InputError
        Where the mesh has no subject.
    """
    subject = arrangement.subject
    if subject is None:
        raise InputError(f"{mesh}: no subject came of it")
    given = {key: value for key, value in sizing.items() if value is not None}
    sizes = {key: value for key, value in given.items() if key in SIZE_KEYS}
    size = _size_keys(sizes or {"height_cm": round(subject.height_cm, 2)}, subject.sized_by)
    parts = listed([printable(part.name) for part in subject.parts], MOST_PARTS, "\n#   ", "\n#   and {} more")
    return TEMPLATE.format(
        title=toml_string(printable(subject.name)), mesh=toml_string(mesh.name), size=size,
        kind=_optional_key(arrangement, "kind", toml_string(arrangement.kind)),
        faces=_optional_key(arrangement, "faces_deg", f"{arrangement.faces_deg:g}"),
        axes=_axes_lines(arrangement, guess), parts=parts, hero=f"# hero = {toml_string(subject.parts[0].name)}",
    )  # fmt: skip


def _size_keys(sizes: dict[str, Any], file_unit: str | None) -> str:
    """Return the keys that say how large the model is, a line each, with what they are by."""
    words = "what the real model measures; height_cm, length_cm or width_cm"
    if "unit" in sizes:
        words = "the unit of the mesh file; or height_cm, length_cm or width_cm"
    if file_unit:
        words = f"by the {file_unit} of its file: what does the real model measure?"
    lines = [
        f"{key} = {toml_string(value) if isinstance(value, str) else f'{value:g}'}" for key, value in sizes.items()
    ]
    return "\n".join([f"{lines[0]:27} # {words}", *lines[1:]])


def _optional_key(arrangement: ResolvedArrangement, key: str, value: str) -> str:
    """Return a key of the subject with its value, as a comment where it is not declared."""
    return f"{'' if getattr(arrangement.declared.subject, key) is not None else '# '}{key} = {value}"


def _axes_lines(arrangement: ResolvedArrangement, guess: str) -> str:
    """Return the keys of the file's axes that point up and that the model faces, a line each."""
    up, front = current_orientation(arrangement.turned_model(0.0)) or ("z", "-y")
    words = {
        "up": f"guessed: {guess}; the views show other ways" if guess else "the file's axis that points up",
        "front": f'or "{opposite(front)}", its other end: the file\'s axis that its face or nose looks along',
    }
    values = {"up": toml_string(up), "front": toml_string(front)}
    return "\n".join(f"{_optional_key(arrangement, key, values[key]):27} # {words[key]}" for key in values)


TEMPLATE: Final = """\
# An arrangement: your model, camera, backdrop and lamps. Lengths in cm.
# Make the contact sheet:  spruelight sheet THIS-FILE
format = 1
title = {title}

[subject]
mesh = {mesh}
{size}
{kind:27} # figure, bust, vehicle, aircraft, ship, object: how it stands, and what setups turn
{faces:27} # 0 looks at the camera, + turns it to camera right
{axes}
{hero:27} # the part that lamps aim at; without it the upper part
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
# width_mm = 0.3            # of the widest lines that it fills: 1 to 2.5 for folds and fur

[camera]
kind = "phone"              # or "phone-tele", "camera" (full frame), "aps-c"
support = "tripod"          # or "hand"
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
# size_cm = [20, 14]        # or diameter_cm for a disc, a bulb, or a ring, which takes hole_cm too
# lumens = 1000             # or lux_at = {{lux = 900, cm = 50}}, what a light meter reads before it in the dark
# kelvin = 4000             # with kelvin_range = [3200, 5600] if it can be set
# spectrum = "led"          # as most of one white are, with ra = 80 to 97 from the label; else a blackbody
"""
