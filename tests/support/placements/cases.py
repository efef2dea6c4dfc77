"""Random tables to place setups on: a model, a kit, a camera, a backdrop, cards that stand there, a room; as TOML."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import product
from pathlib import Path
from typing import Final

import numpy as np
import trimesh

from gallery.inputs import open_input
from scenes.arrangement.resolving import ResolvedArrangement

STAND_INS: Final = {
    "figure": ("height_cm", 18.0), "bust": ("height_cm", 12.0), "aircraft": ("length_cm", 20.0),
    "tank": ("length_cm", 18.0), "car": ("length_cm", 18.0), "ship": ("length_cm", 26.0), "spoon": ("height_cm", 16.0),
}  # fmt: skip
SCALES: Final = (0.3, 1.0, 1.0, 2.0)
BOXES: Final[dict[str, tuple[float, float, float]]] = {
    "cube": (10, 10, 10), "flat": (20, 14, 1), "tall": (4, 4, 20), "thin": (0.4, 10, 12), "slab": (12, 0.5, 9),
    "tiny": (1.5, 1.5, 1.5), "large": (60, 30, 25), "tower": (20, 20, 60),
}  # fmt: skip
"""Width, length and height, cm."""
KITS: Final = {
    "generic": "",
    "one panel": '[[lamps]]\nname = "panel"\nsize_cm = [20, 14]\n',
    "bulb": '[[lamps]]\nname = "bulb"\nkind = "bulb"\ndiameter_cm = 12\nnearest_cm = 15\n',
    "small LED and bulb": (
        '[[lamps]]\nname = "LED"\nsize_cm = [5, 3]\nlumens = 220\n'
        '[[lamps]]\nname = "bulb"\nkind = "bulb"\ndiameter_cm = 6\nlumens = 800\n'
    ),
    "soft panel": '[[lamps]]\nname = "soft panel"\nsize_cm = [60, 60]\n',
    "ring": '[[lamps]]\nname = "ring"\nkind = "ring"\ndiameter_cm = 35\nhole_cm = 27\n',
    "six": (
        '[[lamps]]\nname = "A"\nsize_cm = [30, 20]\n[[lamps]]\nname = "B"\nkind = "disc"\ndiameter_cm = 13\n'
        '[[lamps]]\nname = "C"\nkind = "bulb"\ndiameter_cm = 6\n[[lamps]]\nname = "D"\nsize_cm = [5, 3.2]\n'
        '[[lamps]]\nname = "E"\nsize_cm = [4, 30]\n[[lamps]]\nname = "F"\nkind = "bulb"\ndiameter_cm = 3\n'
    ),
}
CAMERAS: Final = (
    "", "", "", 'kind = "camera"\ndistance_cm = 30\n', 'kind = "camera"\ndistance_cm = 150\n',
    "height_cm = 40\nfill_frame = 0.4\n",
)  # fmt: skip
BACKDROPS: Final = ("", "", "", 'kind = "none"\n')
REACHES_CM: Final = ((20, 60), (20, 60), (15, 50), (30, 80), (30, 70))
"""Room to the left, right, behind, in front and above, beyond half the largest side of the model."""
OWNED_CARDS: Final = (
    '[[cards]]\nname = "paper"\nsize_cm = [21, 29.7]\nreflectance = "white paper"\n'
    '[[cards]]\nname = "board"\nsize_cm = [50, 70]\nreflectance = "black poster board"\n'
)


@dataclass(frozen=True)
class Table:
    """An arrangement as TOML, with the size of its box if it has one."""

    toml: str
    box_cm: tuple[float, float, float] | None

    def opened(self, folder: Path) -> ResolvedArrangement:
        """Return it opened from files in a folder."""
        if self.box_cm is not None:
            trimesh.creation.box(self.box_cm).export(folder / "box.stl")
        (folder / "table.toml").write_text(self.toml, encoding="utf-8")
        return open_input(folder / "table.toml", {})


def plain_tables(scales: Sequence[float], boxes: Mapping[str, tuple[float, float, float]]) -> Iterator[Table]:
    """Yield tables with a model and its size alone: stand-ins in scales of their usual size, and boxes."""
    for (name, (key, usual)), scale in product(STAND_INS.items(), scales):
        yield Table(f'[subject]\nmesh = "stand-in:{name}"\n{key} = {scale * usual:g}\n', None)
    for size in boxes.values():
        yield Table(f'[subject]\nmesh = "box.stl"\nheight_cm = {size[2]:g}\n', size)


def draw_table(rng: np.random.Generator) -> Table:
    """Return a table drawn at random."""
    stand_ins = list(STAND_INS)
    box: tuple[float, float, float] | None = None
    if rng.random() < 0.6:
        name = stand_ins[rng.integers(len(stand_ins))]
        key, usual = STAND_INS[name]
        size = usual * SCALES[rng.integers(len(SCALES))]
        subject, half = f'mesh = "stand-in:{name}"\n{key} = {size:g}\n', size / 2
    else:
        box = list(BOXES.values())[rng.integers(len(BOXES))]
        subject, half = f'mesh = "box.stl"\nheight_cm = {box[2]:g}\n', max(box) / 2
    if rng.random() < 0.5:
        subject += f"faces_deg = {rng.choice([-50, -20, 0, 25, 60])}\n"
    camera = CAMERAS[rng.integers(len(CAMERAS))]
    if "distance_cm = 30" in camera and half > 15:
        camera = ""
    sections = {
        "subject": subject, "camera": camera, "backdrop": BACKDROPS[rng.integers(len(BACKDROPS))],
        "room": _room(rng, half),
    }  # fmt: skip
    text = "".join(f"[{name}]\n{keys}" for name, keys in sections.items() if keys)
    return Table(text + list(KITS.values())[rng.integers(len(KITS))] + _cards(rng, half), box)


def _room(rng: np.random.Generator, half: float) -> str:
    """Return how far the room is clear round the table, tight, or nothing."""
    if rng.random() > 0.3:
        return ""
    left, right, behind, front, above = (half + rng.uniform(*reach) for reach in REACHES_CM)
    return (
        f"clear_cm = {{ left = {left:.1f}, right = {right:.1f}, behind = {behind:.1f}, front = {front:.1f}, "
        f"above = {above:.1f} }}\n"
    )


def _cards(rng: np.random.Generator, half: float) -> str:
    """Return a card that stands beside the model, cards that are owned, or none."""
    kind = rng.random()
    if kind > 0.4:
        return ""
    if kind > 0.25:
        return OWNED_CARDS
    side = rng.choice([-1, 1])
    return f"[[cards]]\nsize_cm = [21, 29.7]\nat_cm = [{side * (half + 10):g}, 0, 15]\nfacing = [{-side}, 0, 0]\n"
