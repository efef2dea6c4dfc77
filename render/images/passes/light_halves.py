"""The two independent halves of a lamp image, under the reference spectrum: what its noise is measured on.

Of a pixel 14 bytes: linear sRGB in half-float and the share of the indirect part in 8 bits, of each half. They have all
passes after the first rung, of which a draft is: drafts, of which there are most, keep no halves.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

import numpy as np
from numpy.typing import NDArray

from materials.arrays import Image
from render.description.scene import Camera
from render.images.bands import PLANE_COUNT
from render.images.reference_light import TO_SRGB, reference_light

from .half_float import from_half_float, to_half_float
from .pass_sums import PassSums, Sums

if TYPE_CHECKING:
    from collections.abc import Sequence

CODES: Final = np.float32(255)


@dataclass(frozen=True, eq=False)
class LightHalves:
    """The light of the even and of the odd passes.

    Parameters
    ----------
    rgb : (2, height, width, 3)
        Linear sRGB under the reference spectrum, over `scale`.
    indirect_share : (2, height, width)
        Codes of the share that was scattered at least twice, 255 for all.
    passes : (2,)
        Number of passes of each half.
    """

    rgb: NDArray[np.float16]
    scale: NDArray[np.float32]
    indirect_share: NDArray[np.uint8]
    passes: NDArray[np.int64]

    @classmethod
    def empty(cls, camera: Camera) -> LightHalves:
        """Return the halves of no pass."""
        size = (2, camera.height, camera.width)
        rgb, share = np.zeros((*size, 3), np.float16), np.zeros(size, np.uint8)
        return cls(rgb, np.ones((), np.float32), share, np.zeros(2, np.int64))

    def direct_and_indirect(self, half: int) -> tuple[Image, Image]:
        """Return linear sRGB of the direct and of the indirect light of a half, (height, width, 3) each."""
        rgb = from_half_float(self.rgb[half], self.scale)
        indirect = rgb * (self.indirect_share[half] / CODES)[..., None]
        return rgb - indirect, indirect

    def with_sums(self, sums: PassSums) -> LightHalves:
        """Return the halves with the passes of sums added."""
        added = ((sums.even, sums.even_passes), (sums.odd, sums.odd_passes))
        lights = [self._with_half(half, *of_half) for half, of_half in enumerate(added)]
        rgb, scale = to_half_float(np.stack([rgb for rgb, _ in lights]))
        shares = np.stack([np.rint(CODES * share).astype(np.uint8) for _, share in lights])
        return LightHalves(rgb, np.asarray(scale), shares, self.passes + np.array([count for _, count in added]))

    def _with_half(self, half: int, total: Sums, count: int) -> tuple[Image, Image]:
        """Return linear sRGB and the indirect share of a half with `count` passes added, `total` in all."""
        before = int(self.passes[half])
        if not count:
            return from_half_float(self.rgb[half], self.scale), self.indirect_share[half] / CODES
        nothing = np.zeros((PLANE_COUNT, 1, 1), np.float32)
        xyz, share = reference_light(PassSums(total, nothing, count, 0))
        rgb: Image = xyz @ TO_SRGB.T
        if not before:
            return rgb, share
        earlier = from_half_float(self.rgb[half], self.scale)
        passes, earlier_share = (count, before), self.indirect_share[half] / CODES
        return _mean((rgb, earlier), passes), _mean((share, earlier_share), passes)


def _mean(images: Sequence[Image], passes: Sequence[int]) -> Image:
    """Return the mean of two images by their passes."""
    first, second = (image * np.float32(count / sum(passes)) for image, count in zip(images, passes, strict=True))
    return np.asarray(first + second, np.float32)
