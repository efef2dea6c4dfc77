"""Lamp images and features of geometries: read from the store, or traced and stored."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from functools import partial
from typing import TYPE_CHECKING
from weakref import WeakValueDictionary

from materials.arrays import Image
from materials.light.spectra import Spectrum
from render.description.scene import Geometry
from scenes.lamps.emitter_shape import EmitterShape

from .image_tracing import ImageTracing, TraceStatistics
from .lit_image import LitImage
from .noise import Noise, is_measured, measure_noise
from .passes.rungs import last_doubling
from .passes.sealing import SealedImage
from .recent import Recent
from .small_results import SmallResults
from .store.descriptions import Descriptions
from .store.feature_entries import FeatureEntries
from .store.gain_entries import GainEntries
from .store.image_entries import ImageEntries, Progress, image_key
from .store.noise_entries import NoiseEntries
from .store.store import Store

if TYPE_CHECKING:
    from render.kernel.features import Features
    from render.kernel.trace import Tracer

PICTURES_BYTES, FEATURES_BYTES = 2**26, 2**25
"""Memory for what was used last: pictures of 7 lamps and features of 2 geometries at 480x640, none at 2400x3200.
Features that a frame uses are not loaded again for its denoiser, however large they are.
"""


class Tracing:
    """Lamp images, features and small results of geometries; traces only what is not in the store.

    The kernel is imported when it is first needed, so that relighting stored images never starts it. One thread uses
    it; the lit images that it returns may be used in others meanwhile.
    """

    def __init__(self, store: Store) -> None:
        self.store = store
        self.descriptions = Descriptions()
        self._tracer: Tracer | None = None
        self._images = ImageTracing(ImageEntries(store, self.descriptions), self._tracer_of)
        self._features = FeatureEntries(store, self.descriptions)
        self._gains = GainEntries(store, self.descriptions)
        self._noise = NoiseEntries(store, self.descriptions)
        self._pictures: Recent[Image] = Recent(PICTURES_BYTES, lambda picture: picture.nbytes)
        self._recent_features: Recent[Features] = Recent(FEATURES_BYTES, lambda seen: seen.nbytes)
        self._used_features: WeakValueDictionary[str, Features] = WeakValueDictionary()
        self.small = SmallResults(store, self.descriptions, self._tracer_of)

    @property
    def statistics(self) -> TraceStatistics:
        """What was traced, found and kept so far."""
        return self._images.statistics

    @property
    def unsaved_since(self) -> float | None:
        """Since when passes are traced that are not saved, by `time.monotonic`; None where all are saved."""
        unfinished = self._images.unfinished
        return unfinished.unsaved_since if unfinished else None

    def save_unfinished(self) -> None:
        """Save the passes of the lamp images that are being traced; from any thread, and as often as one likes."""
        if unfinished := self._images.unfinished:
            unfinished.save()

    def trace(
        self,
        geometry: Geometry,
        groups: Mapping[EmitterShape, int],
        passes: int,
        tick: Callable[[int], None] = lambda _: None,
    ) -> None:
        """Bring each lamp's image to at least `passes` passes, tracing the lamps of a group together.

        Finished images stay in memory until the next call. What is unfinished is saved at least once a minute, and
        whatever exception ends the call. An image that another run is tracing is waited for. `tick` is called with the
        number of passes added, those of another run included.
        """
        self._images.trace(geometry, groups, passes, tick)

    def image(self, geometry: Geometry, lamp: EmitterShape, passes: int) -> SealedImage:
        """Return a lamp's finished image of at least `passes` passes."""
        key = image_key(geometry, lamp)
        image = self._images.finished.get(key)
        if (image is None or image.passes < passes) and not self._images.find(geometry, lamp, passes):
            self.trace(geometry, {lamp: 0}, passes)
        return self._images.finished[key]

    def lit_image(self, geometry: Geometry, lamp: EmitterShape, radiance: Spectrum, passes: int) -> LitImage:
        """Return the picture by a lamp of `radiance`, of a lamp image of at least `passes` passes."""
        image, features = self.image(geometry, lamp, passes), self.features(geometry)
        key = (image_key(geometry, lamp), image.passes, image.group, radiance.tobytes())
        measure_gain = partial(self._gains.gain, geometry, lamp, image, features)
        return LitImage(key, image, radiance, measure_gain, self._pictures)

    def is_denoised(self, geometry: Geometry, lamp: EmitterShape, passes: int) -> bool:
        """Return whether the gain of a lamp's image of at least `passes` passes is stored."""
        progress = self.stored_passes(geometry, lamp)
        return progress is not None and progress.passes >= passes and self._gains.has(geometry, lamp, *progress)

    def noise(self, geometry: Geometry, lamp: EmitterShape, passes: int) -> Noise | None:
        """Return the noise of a lamp's image at the last doubling up to `passes`; None where it was not measured."""
        return self._noise.load_noise(geometry, lamp, last_doubling(passes)) if passes else None

    def lacks_noise(self, geometry: Geometry, lamp: EmitterShape) -> bool:
        """Return whether the passes of a lamp's image are a doubling of which the noise can be measured and is not."""
        passes = self.sealed_passes(geometry, lamp)
        return (
            is_measured(passes)
            and not self._noise.has_noise(geometry, lamp, passes)
            and self._noise.has_halves(geometry, lamp, passes)
        )

    def measure_noise(self, geometry: Geometry, lamp: EmitterShape) -> None:
        """Measure the noise of a lamp's image, where it lacks it.

        Raises
        ------
        NoDenoiserError
            If the denoiser does not load.
        """
        passes = self.sealed_passes(geometry, lamp)
        halves = self._noise.load_halves(geometry, lamp, passes) if self.lacks_noise(geometry, lamp) else None
        if halves is not None:
            self._noise.save_noise(geometry, lamp, measure_noise(halves, passes, self.features(geometry)))

    def sealed_passes(self, geometry: Geometry, lamp: EmitterShape) -> int:
        """Return the number of passes of a lamp's finished image in the store; 0 without one."""
        return self._images.entries.sealed_passes(geometry, lamp)

    def stored_passes(self, geometry: Geometry, lamp: EmitterShape) -> Progress | None:
        """Return the number of passes of a lamp's image in the store and its group; None without one."""
        return self._images.entries.progress(geometry, lamp)

    def features(self, geometry: Geometry) -> Features:
        """Return the feature images of a geometry: what its camera sees without any light."""

        def make() -> Features:
            return self._features.load(geometry) or self._features.save(geometry, self._tracer_of(geometry).features)

        features = self._used_features.get(geometry.fingerprint) or self._recent_features.get(
            geometry.fingerprint, make
        )
        self._used_features[geometry.fingerprint] = features
        return features

    def _tracer_of(self, geometry: Geometry) -> Tracer:
        """Return the tracer of a geometry; the last one's mesh is used again if the triangles are the same."""
        from render.kernel.trace import Tracer

        if self._tracer is None or self._tracer.geometry.fingerprint != geometry.fingerprint:
            self.store.try_writing()
            scene = self._tracer.scene if self._tracer else None
            if scene is not None and scene.mesh_fingerprint != geometry.mesh_fingerprint:
                scene = None
            self._tracer = None  # frees its memory before the next one is made
            self._tracer = Tracer(geometry, scene)
        return self._tracer
