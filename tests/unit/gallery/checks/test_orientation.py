"""A model is doubted that shows its flank, unless the arrangement says that it should."""

from __future__ import annotations

from pathlib import Path

import pytest
import trimesh

from gallery.checks.orientation import likelier_orientation
from scenes.arrangement.arrangement import Arrangement
from scenes.arrangement.folder import Folder
from scenes.arrangement.reading import fill_model
from scenes.arrangement.resolving import resolve


@pytest.mark.parametrize(
    ("size", "keys", "doubt"),
    [
        ((18, 7, 5), {}, "it may show its flank: --front x looks likelier, or --front -x "),
        ((18, 7, 5), {"front": "-y"}, None),
        ((7, 18, 5), {}, None),
        ((5, 18, 7), {"up": "x"}, None),
    ],
)
def test_a_vehicle_that_shows_its_flank_is_doubted_unless_its_front_is_declared(
    tmp_path: Path, size: tuple[float, float, float], keys: dict[str, str], doubt: str | None
) -> None:
    trimesh.creation.box(size).export(tmp_path / "a.stl")
    declared = fill_model({"subject": {"mesh": "a.stl", "unit": "cm", **keys}}, Arrangement, "test")
    likelier = likelier_orientation(resolve(declared, Folder(tmp_path, "test")))
    assert (likelier.doubt.split("(")[0] if likelier else None) == doubt
