"""The light of each lamp on the sheet in the frame.

It is taken from a small picture with a grey model, so that neither paint nor the frame's size changes it.
"""

from __future__ import annotations

from dataclasses import replace
from typing import Final

import numpy as np
from numpy.typing import NDArray

from materials.light.observer import COLOUR_MATCHING, MAX_LUMINOUS_EFFICACY
from materials.surface.finish import Finish
from render.camera.lamp_bodies import visible_body
from render.description.lit_emitter import lit_emitters
from render.description.scene import Camera, Geometry, Surface
from render.images.bands import band_weights
from render.images.tracing import Tracing
from render.readings.coverage import wholly_covered
from render.readings.sheet_dimming import SheetLight
from render.shot import Shot
from scenes.setups.placed import PlacedSetup
from scenes.units import metres

HEIGHT_PX: Final = 48
PASSES: Final = 8
GREY: Final = 0.18


def sheet_light(shot: Shot, setup: PlacedSetup, white: NDArray[np.float64], tracing: Tracing) -> SheetLight:
    """Return the light on the sheet in the frame of a shot whose setup has its other dimmers solved.

    `white` (emitters,) is the frame white that each emitter asks for by itself, undimmed, cd/m2.
    """
    full, emitters = _luminance(shot, tracing), lit_emitters(setup, shot.room)
    dimmers = np.array([emitter.dimmer for emitter in emitters])
    room = np.array([emitter.lamp is None for emitter in emitters])
    wanted = np.array([e.lamp is not None and e.lamp.sheet_over_white is not None for e in emitters])
    sheet, others, ambient = (dimmers * of for of in (wanted, ~(wanted | room), room))
    return SheetLight(
        *(sheet @ full, others @ full, ambient @ full),
        *(float(sheet @ white), float(others @ white), float(ambient @ white)),
    )


def _luminance(shot: Shot, tracing: Tracing) -> NDArray[np.float64]:
    """Return the luminance of the pixels wholly of the sheet by each emitter undimmed, (emitters, pixels), cd/m2.

    Pixels that show a lamp are left out. Without a sheet in the frame there are none.
    """
    geometry = _grey_geometry(shot.geometry, shot.setup)
    features = tracing.features(geometry)
    seen = wholly_covered(features.backdrop)
    for emitter in shot.lit_emitters:
        if emitter.lamp is not None:
            seen &= ~visible_body(emitter.shape, geometry.camera, features.body_depth)[0]
    images = tracing.small.images(geometry, shot.emitter_shapes, PASSES)[:, :, seen]
    luminous = MAX_LUMINOUS_EFFICACY * COLOUR_MATCHING[1:2]
    pairs = zip(images, shot.lit_emitters, strict=True)
    return np.array([band_weights(emitter.radiance, luminous)[0] @ image for image, emitter in pairs])


def _grey_geometry(geometry: Geometry, setup: PlacedSetup) -> Geometry:
    """Return a geometry with a grey model, before a camera with a small film that sees the whole of it."""
    view = setup.whole_view or setup.view
    width = max(1, round(HEIGHT_PX * view.aspect))
    camera = Camera(metres(view.at_cm), view.axes, view.tan_half_height, width, HEIGHT_PX)
    return Geometry(tuple(map(_grey, geometry.surfaces)), camera)


def _grey(surface: Surface) -> Surface:
    """Return a surface of the model in grey, or colourless where it is clear; others as they are."""
    if surface.kind != "subject":
        return surface
    finish = Finish.clear(1.0) if surface.finish.kind == "clear" else Finish.board(GREY)
    return replace(surface, finish=finish, colour_map=None, wash=None)
