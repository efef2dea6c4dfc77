"""Open Image Denoise on what is shown; the sums stay as traced."""

from __future__ import annotations

import numpy as np

from materials.arrays import Image


def denoised(linear: Image, albedo: Image, normal: Image) -> Image:
    """Return a (height, width, 3) linear picture without its noise, guided by albedo and normals."""
    from mitsuba_oidn import Quality, denoise

    clean: Image = np.asarray(
        denoise(
            np.ascontiguousarray(np.maximum(linear, 0.0), dtype=np.float32),
            albedo=np.ascontiguousarray(np.clip(albedo, 0.0, 1.0), dtype=np.float32),
            normal=np.ascontiguousarray(np.clip(normal, -1.0, 1.0), dtype=np.float32),
            hdr=True,
            clean_aux=True,  # the guides are means of many rays, nearly without noise
            quality=Quality.Balanced,  # with clean guides: the error of High with noisy ones, in less time
        )
    )
    return clean
