"""An entry of the store says which setups need it."""

from __future__ import annotations

from types import SimpleNamespace
from typing import cast

from render.description.scene import Geometry
from render.images.store.descriptions import Descriptions
from render.images.store.entries import Description
from render.shot import Shot
from scenes.lamps.emitter_shape import EmitterShape
from tests.support.kernel.stub_kernel import FIRST, GEOMETRY, SECOND
from tests.support.light import CAMERA

BARE = Geometry((), CAMERA.finer(2))
SIZE = (CAMERA.width, CAMERA.height)


def shot(setup: str, *lamps: EmitterShape) -> Shot:
    """Return a shot as far as it is described."""
    named = SimpleNamespace(name=setup)
    found = SimpleNamespace(setup=named, geometry=GEOMETRY, bare_geometry=BARE, emitter_shapes=lamps)
    return cast(Shot, found)


def test_of_a_lamp_the_setups_are_named_that_have_it_and_of_a_geometry_all() -> None:
    descriptions = Descriptions()
    descriptions.add([shot("loop", FIRST), shot("rim", FIRST, SECOND), shot("loop", FIRST)])
    assert descriptions.of(GEOMETRY, FIRST, 2) == Description(("loop", "rim"), SIZE, 2)
    assert descriptions.of(GEOMETRY, SECOND) == Description(("rim",), SIZE)
    assert descriptions.of(GEOMETRY) == Description(("loop", "rim"), SIZE)
    assert descriptions.of(BARE, SECOND) == Description(("rim",), (2 * CAMERA.width, 2 * CAMERA.height))


def test_what_no_shot_needs_is_described_by_its_size_alone() -> None:
    assert Descriptions().of(GEOMETRY, FIRST) == Description((), SIZE)
