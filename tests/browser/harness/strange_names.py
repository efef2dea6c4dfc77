"""An arrangement whose names a page could trip over: markup, quotes, letters from right to left, no place to break."""

from __future__ import annotations

from pathlib import Path
from typing import Final

import trimesh

MARKUP: Final = "</script><script>document.title = 'taken over'</script><img src=x onerror=alert(1)>"
QUOTES: Final = "\"'`${1}{{ 7 * 7 }}&amp;\\\\"
RIGHT_TO_LEFT: Final = "نور السقف"
LONG: Final = "panel" * 50
NAMES: Final = (MARKUP, QUOTES, f"🔦 {RIGHT_TO_LEFT}", LONG)

ARRANGEMENT: Final = f"""
format = 1
title = '''{MARKUP}{QUOTES}'''

[subject]
mesh = "strange.glb"
height_cm = 12
kind = "object"
up = "y"
front = "z"
hero = '''{MARKUP}'''

[[subject.parts]]
match = '''*{RIGHT_TO_LEFT}'''
base = "#7a3f22"

[[lamps]]
name = '''{LONG}'''
preset = "desk panel"

[[lamps]]
name = '''🔦 {RIGHT_TO_LEFT}'''
preset = "clip lamp"

[[lamps]]
name = '''{MARKUP}'''
preset = "pocket panel"
"""


def write_strange(folder: Path) -> None:
    """Write the arrangement, `strange.toml`, with its mesh: a box and a ball on it, three lamps of three kinds."""
    scene = trimesh.Scene()
    box, ball = trimesh.creation.box((4, 6, 4)), trimesh.creation.icosphere(3, 2.5)
    box.apply_translation((0, 3, 0))
    ball.apply_translation((0, 8.5, 0))
    scene.add_geometry(box, node_name=f"🔦 {RIGHT_TO_LEFT}", geom_name=f"🔦 {RIGHT_TO_LEFT}")
    scene.add_geometry(ball, node_name=MARKUP, geom_name=MARKUP)
    scene.export(folder / "strange.glb")
    (folder / "strange.toml").write_text(ARRANGEMENT, encoding="utf-8")
