"""The picture of a lamp image under its lamp's spectrum: a dimmer moved is a sum of such pictures."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import cached_property

from materials.arrays import Image
from materials.light.spectra import Spectrum

from .denoising_gain import DenoisingGain


@dataclass(frozen=True, eq=False)
class LitImage:
    """The picture of a lamp image under a lamp of `radiance` (351,) W/(m2 sr nm).

    Parameters
    ----------
    xyz : (height, width, 3)
        As traced, Y in cd/m2.
    specular : (height, width)
        The part of that Y that facets of the first surface mirror.
    measure_gain
        Returns the gain of the lamp image; called when it is first needed.
    """

    radiance: Spectrum
    xyz: Image
    specular: Image
    measure_gain: Callable[[], DenoisingGain]

    @cached_property
    def clean_xyz(self) -> Image:
        """The picture denoised.

        Raises
        ------
        NoDenoiserError
            If it is not stored denoised, and the denoiser does not load.
        """
        return self.measure_gain().clean_xyz(self.xyz, self.radiance)

    @property
    def nbytes(self) -> int:
        """The memory that it takes with the denoised picture."""
        return 2 * self.xyz.nbytes + self.specular.nbytes
