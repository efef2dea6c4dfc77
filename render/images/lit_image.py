"""The picture of a lamp image under its lamp's spectrum: a dimmer moved is a sum of such pictures."""

from __future__ import annotations

from collections.abc import Callable, Hashable
from dataclasses import dataclass

from materials.arrays import Image
from materials.light.spectra import Spectrum

from .denoising_gain import DenoisingGain
from .lamp_images import LitLamp, lamp_xyz, specular_luminance
from .passes.sealing import SealedImage
from .recent import Recent


@dataclass(frozen=True, eq=False)
class LitImage:
    """The picture of a lamp image under a lamp of `radiance` (351,) W/(m2 sr nm); may be used in any thread.

    Parameters
    ----------
    key
        Of the lamp image and the radiance.
    measure_gain
        Returns the gain of the lamp image; called when it is needed.
    pictures
        Where what was computed last stays in memory.
    """

    key: Hashable
    image: SealedImage
    radiance: Spectrum
    measure_gain: Callable[[], DenoisingGain]
    pictures: Recent[Image]

    @property
    def xyz(self) -> Image:
        """The picture as traced, (height, width, 3), Y in cd/m2."""
        return self.pictures.get((self.key, "xyz"), lambda: lamp_xyz(LitLamp(self.image, self.radiance)))

    @property
    def specular(self) -> Image:
        """The part of that Y that facets of the first surface mirror, (height, width)."""
        return self.pictures.get((self.key, "specular"), lambda: specular_luminance(LitLamp(self.image, self.radiance)))

    @property
    def clean_xyz(self) -> Image:
        """The picture denoised.

        Raises
        ------
        NoDenoiserError
            If it is not stored denoised, and the denoiser does not load.
        """
        return self.pictures.get((self.key, "clean"), lambda: self.measure_gain().clean_xyz(self.xyz, self.radiance))
