"""What a page's script needs to relight frames: of all frames together, and of each."""

from __future__ import annotations

from typing import Any, Final

import numpy as np

from materials.colour.adaptation import XYZ_TO_CONES
from materials.colour.srgb import XYZ_TO_LINEAR_SRGB
from materials.light.observer import D65_XYZ
from materials.light.spectra import KELVIN_RANGE, blackbody, xyz
from render.camera.locked_exposure import LockedExposure
from render.clean_picture import clean_lamp_images
from render.description.lit_emitter import LitEmitter
from render.images.tracing import Tracing
from render.shot_light import ShotLight

from .codes import light_of_codes, ratio_of_codes
from .colour_table import colour_table
from .lamp_colours import at_kelvin, kelvin_range, second_anchor
from .lamp_pictures import embed_pictures
from .layers import Layers
from .reduction import reduced_size
from .rounding import rounded, significant

WHITES_MIRED: Final = 10.0
"""Between the colour temperatures of which the white is tabulated."""


def shared_facts(layers: Layers) -> dict[str, Any]:
    """Return what the frames of a page share: the pictures of their lamps, curves and colours."""
    mired = np.arange(1e6 / KELVIN_RANGE[0], 1e6 / KELVIN_RANGE[1] - 1.0, -WHITES_MIRED)
    kelvins = [significant(1e6 / each) for each in mired]
    return {
        "layers": layers.facts(),
        "lightOfCodes": rounded(light_of_codes()),
        "ratioOfCodes": rounded(ratio_of_codes()),
        "blackbodies": [{"kelvin": kelvin, "white": rounded(xyz(blackbody(kelvin)))} for kelvin in kelvins],
        "d65": rounded(D65_XYZ),
        "xyzToCones": rounded(XYZ_TO_CONES),
        "conesToSrgb": rounded(XYZ_TO_LINEAR_SRGB @ np.linalg.inv(XYZ_TO_CONES)),
    }


def frame_facts(
    light: ShotLight, locked: LockedExposure, tracing: Tracing, passes: int, layers: Layers
) -> dict[str, Any]:
    """Return what relights the frame that `light` gives as `locked`; its pictures are added to `layers`."""
    geometry, camera = light.shot.geometry, light.shot.camera
    white_cd_m2 = locked.exposure.white_cd_m2
    emitters = light.hero.emitters
    second = [at_kelvin(emitter, second_anchor(emitter)) for emitter in emitters]
    pictures, others = (clean_lamp_images(light, each, tracing, passes) for each in (emitters, second))
    lamps = []
    for emitter, other, picture, other_picture in zip(emitters, second, pictures, others, strict=True):
        has_other = second_anchor(emitter) is not None
        anchors = [emitter.radiance, other.radiance][: 1 + has_other]
        numbers, scale = embed_pictures([picture, other_picture][: 1 + has_other], anchors, white_cd_m2, layers)
        image = tracing.image(geometry, emitter.shape, passes)
        table = colour_table(emitter, image, light.subject_mask, anchors)
        lamps.append(
            {
                **_lamp_words(emitter),
                "layers": numbers,
                "colours": [colour.facts(scale / white_cd_m2, 1.0 / white_cd_m2) for colour in table],
            }
        )
    is_kelvin = isinstance(camera.white_balance, float)
    width, height = reduced_size(geometry.camera.width, geometry.camera.height)
    return {
        "width": width,
        "height": height,
        "whiteBalance": camera.white_balance if is_kelvin else "auto",
        "automaticWhite": None if is_kelvin else rounded(locked.white.xyz),
        "lamps": lamps,
    }


def _lamp_words(emitter: LitEmitter) -> dict[str, Any]:
    """Return what a lamp, or the room, is called and how it can be set."""
    placed, reach = emitter.lamp, kelvin_range(emitter)
    return {
        "role": placed.role if placed else "room",
        "name": emitter.name,
        "dimmable": placed is not None and placed.lamp.model.dimmable,
        "dimmer": emitter.dimmer,
        "kelvin": placed.lamp.model.kelvin if placed and reach else None,
        "kelvinRange": reach,
    }
