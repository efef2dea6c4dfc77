"""A lamp's light by its colour temperature, tabulated for a page."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np

from materials.arrays import Array, Mask
from materials.light.spectra import Spectrum, photometric_value, xyz
from render.description.lit_emitter import LitEmitter
from render.images.bands import BAND_COUNT, xyz_weights
from render.images.lamp_images import LampImage

from .colour_fit import fit_colours
from .lamp_colours import at_kelvin, tabulated_kelvins
from .rounding import rounded, significant


@dataclass(frozen=True, eq=False)
class LampColour:
    """A lamp at a colour temperature; None is that of a lamp that keeps its own.

    Parameters
    ----------
    to_xyz : (3, 3 anchors)
        From the balanced channels of the lamp's pictures.
    white : (3,)
        XYZ of its light, Y = 1.
    subject
        The luminance that it gives the subject, summed over pixels, cd/m2.
    """

    kelvin: float | None
    to_xyz: Array
    white: Array
    subject: float

    def facts(self, scale: float, subject_scale: float) -> dict[str, Any]:
        """Return the colour for JSON, its matrix and its luminance in the units of a frame."""
        return {
            "kelvin": self.kelvin and significant(self.kelvin),
            "toXyz": rounded(self.to_xyz * scale),
            "white": rounded(self.white),
            "subject": significant(self.subject * subject_scale),
        }


def colour_table(emitter: LitEmitter, image: LampImage, subject: Mask, anchors: Sequence[Spectrum]) -> list[LampColour]:
    """Return a lamp's colours, rising in kelvin, from its pictures by the radiances (351,) of its anchors."""
    kelvins: list[float] | list[None] = tabulated_kelvins(emitter) or [None]
    radiances = [at_kelvin(emitter, kelvin).radiance for kelvin in kelvins]
    bands = np.array([image.plane(band)[subject].sum(dtype=np.float64) for band in range(BAND_COUNT)])
    return [
        LampColour(kelvin, matrix, xyz(radiance) / photometric_value(radiance), float(xyz_weights(radiance)[1] @ bands))
        for kelvin, radiance, matrix in zip(kelvins, radiances, fit_colours(image, anchors, radiances), strict=True)
    ]
