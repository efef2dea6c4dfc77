"""Results of a few kilobytes: irradiance of receptors, images of small films. In memory once they were used."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace
from itertools import product
from typing import TYPE_CHECKING, Any, Final

import numpy as np
from numpy.typing import NDArray

from render.description.scene import Geometry, Meter
from scenes.lamps.emitter_shape import EmitterShape

from .bands import BAND_COUNT
from .store.container import ArraySpec
from .store.descriptions import Descriptions
from .store.entries import Description
from .store.keys import result_key
from .store.store import Store

if TYPE_CHECKING:
    from render.kernel.trace import Tracer

RECEPTOR_SAMPLES: Final = 2**14


class SmallResults:
    """The small results of a store; traces only what is not in it.

    Parameters
    ----------
    tracer_of
        Returns the tracer of a geometry.
    """

    def __init__(self, store: Store, descriptions: Descriptions, tracer_of: Callable[[Geometry], Tracer]) -> None:
        self._store = store
        self._descriptions = descriptions
        self._tracer_of = tracer_of
        self._kept: dict[str, dict[str, NDArray[Any]]] = {}

    def irradiance(
        self,
        geometry: Geometry,
        lamps: Sequence[EmitterShape],
        meters: Sequence[Meter],
        samples: int = RECEPTOR_SAMPLES,
    ) -> NDArray[np.float64]:
        """Return the result of `kernel.meters.irradiance`, (lamps, batches, 2, meters, bands).

        Each lamp at each meter is stored by itself: in whatever company it was measured, it is not traced again.
        """
        from render.kernel.meters import BATCHES, irradiance

        spec = ArraySpec("float64", (BATCHES, 2, BAND_COUNT))
        measured = np.zeros((len(lamps), BATCHES, 2, len(meters), BAND_COUNT))
        missing = np.zeros((len(lamps), len(meters)), bool)
        keys = [[result_key(f"meter-{samples}", geometry, lamp, meter) for meter in meters] for lamp in lamps]
        for i, j in np.ndindex(missing.shape):
            stored = self._load(keys[i][j], {"irradiance": spec})
            missing[i, j] = stored is None
            if stored is not None:
                measured[i, :, :, j] = stored["irradiance"]
        if missing.any():
            rows = sorted(np.flatnonzero(missing.any(axis=1)).tolist(), key=lambda i: lamps[i].kind)  # fewer programs
            columns = np.flatnonzero(missing.any(axis=0)).tolist()
            traced = irradiance(
                self._tracer_of(geometry), [lamps[i] for i in rows], [meters[j] for j in columns], samples
            )
            for (row, i), (column, j) in product(enumerate(rows), enumerate(columns)):
                measured[i, :, :, j] = traced[row, :, :, column]
                if missing[i, j]:
                    description = replace(self._descriptions.of(geometry, lamps[i]), pixels=None)
                    self._save(keys[i][j], description, irradiance=measured[i, :, :, j].copy())
        return measured

    def images(self, geometry: Geometry, lamps: Sequence[EmitterShape], passes: int) -> NDArray[np.float64]:
        """Return the mean of a number of passes of each lamp's image, (lamps, bands, height, width).

        For small films: all passes are traced at once, and no lamp image that is in memory is given up for them.
        """
        size = (BAND_COUNT, geometry.camera.height, geometry.camera.width)
        keys = [result_key(f"small-{passes}", geometry, lamp) for lamp in lamps]
        stored = [self._load(key, {"image": ArraySpec("float32", size)}) for key in keys]
        missing = [i for i, arrays in enumerate(stored) if arrays is None]
        if missing:
            traced = self._tracer_of(geometry).images([lamps[i] for i in missing], 0, 0, passes) / np.float32(passes)
            for i, image in zip(missing, traced, strict=True):
                stored[i] = {"image": image}
                self._save(keys[i], self._descriptions.of(geometry, lamps[i], passes), image=image)
        return np.stack([arrays["image"] for arrays in stored if arrays is not None]).astype(np.float64)

    def _load(self, key: str, specs: Mapping[str, ArraySpec]) -> dict[str, NDArray[Any]] | None:
        """Return small arrays from memory or from the store; None where they are in neither."""
        if key not in self._kept and (stored := self._store.load(key, specs)) is not None:
            self._kept[key] = stored
        return self._kept.get(key)

    def _save(self, key: str, description: Description, /, **arrays: NDArray[Any]) -> None:
        """Keep small arrays in memory and in the store."""
        self._kept[key] = arrays
        self._store.save(key, description, **arrays)
