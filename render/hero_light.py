"""The light at the hero: what every frame is exposed by, and what `ask` answers from.

Each lamp is measured undimmed on receptors at the hero, the model lifted away. From that follow the dimmers that a
setup's ratios ask for, and the illuminance that meters the exposure.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from materials.arrays import Image
from render.camera.exposure import INCIDENT, LENS, REFLECTED, WHITE, ChosenExposure, choose_exposure
from render.camera.scene_meter import scene_luminance
from render.description.lit_emitter import LitEmitter, lit_emitters
from render.images.tracing import Tracing
from render.readings.dimming import with_sheet_dimmed, with_solved_dimmers
from render.readings.metering import lux
from render.sheet_light import sheet_light
from render.shot import Shot
from scenes.setups.placed import PlacedSetup
from scenes.stage.lens import magnification_of
from scenes.units import ratio

CARD: Final = -1
"""The last receptor, which faces the camera."""


@dataclass(frozen=True, eq=False)
class HeroLight:
    """The illuminance at the hero, by emitter and receptor, and the setup with its dimmers solved.

    Parameters
    ----------
    shot
        The shot as placed.
    setup
        Its setup, the dimmers solved.
    full_lux : (emitters, batches, 2, receptors)
        By each emitter undimmed, lx: direct, then indirect. Emitters are the setup's lamps and then the room; a
        receptor faces each lamp, the last one the camera.
    """

    shot: Shot
    setup: PlacedSetup
    full_lux: NDArray[np.float64]

    @property
    def emitters(self) -> tuple[LitEmitter, ...]:
        """The emitters, dimmed as solved."""
        return lit_emitters(self.setup, self.shot.room)

    @property
    def facing_lux(self) -> NDArray[np.float64]:
        """Illuminance by each lamp alone, undimmed, on the receptor that faces it, (lamps,)."""
        return facing_lux(self.full_lux, self.setup)

    @property
    def key(self) -> int | None:
        """The number of the lamp that meters: of role key, else the one that gives most as dimmed; None without light.

        A key that gives no light on the receptor facing it does not count.
        """
        return metering_lamp(self.setup, self.facing_lux)

    @property
    def receptor(self) -> int:
        """The number of the receptor that meters the exposure: facing the key, or the camera's."""
        card = self.shot.camera.exposure == "card" or self.setup.meter == "card"
        return CARD if card or self.key is None else self.key

    @property
    def basis(self) -> str:
        """What the metered illuminance falls on, in words."""
        facing = "camera" if self.receptor == CARD else self.setup.lamps[self.receptor].role
        return f"facing the {facing}, model away"

    @property
    def metered_lux(self) -> float:
        """Illuminance on the metering receptor by all lamps as dimmed, and by the room."""
        return float(self.by_emitter(self.receptor).sum())

    @property
    def lux_error(self) -> float:
        """The standard error of `metered_lux`, from its independent batches."""
        batches = np.einsum("ebp,e->b", self.full_lux[..., self.receptor], self._dimmers)
        return float(batches.std(ddof=1) / np.sqrt(batches.size))

    @property
    def room_lux(self) -> float:
        """Illuminance on the metering receptor by the room alone."""
        return float(self.by_emitter(self.receptor)[len(self.setup.lamps) :].sum())

    @property
    def exposure_stops(self) -> float:
        """How much brighter than metered the camera exposes: by its own stops, and the setup's where the key meters."""
        own = self.setup.exposure_stops if self.shot.camera.exposure == "key" else 0.0
        return own + self.shot.camera.stops

    def chosen_exposure(self, lux: float | None = None) -> ChosenExposure:
        """Return the exposure that the camera takes, metered at the hero or by another reading, lx."""
        view, camera = self.setup.view, self.shot.camera
        distance_cm = float(np.linalg.norm(np.subtract(self.setup.hero_cm, view.at_cm)))
        magnification = magnification_of(camera, view, distance_cm)
        return choose_exposure(camera, self.metered_lux if lux is None else lux, self.exposure_stops, magnification)

    def by_emitter(self, receptor: int) -> NDArray[np.float64]:
        """Return the illuminance on a receptor by each emitter as dimmed, direct and indirect, (emitters, 2)."""
        full = self.full_lux[..., receptor].mean(axis=1)
        return np.asarray(full * self._dimmers[:, None])

    @property
    def _dimmers(self) -> NDArray[np.float64]:
        return np.array([emitter.dimmer for emitter in self.emitters])


def hero_light(shot: Shot, tracing: Tracing) -> HeroLight:
    """Return the light at the hero of a shot; traces what is not stored of it.

    Dimmers of ratios are solved on the receptors that face the lamps, those of lamps on the sheet for the exposure that
    the setup itself asks for: the camera's settings dim no lamp.
    """
    full = receptor_lux(shot, tracing)
    setup = with_solved_dimmers(shot.setup, facing_lux(full, shot.setup))
    if any(lamp.sheet_over_white is not None for lamp in setup.lamps):
        setup = _with_sheet_dimmed(shot, setup, full, tracing)
    return HeroLight(shot, setup, full)


def metered_lux(hero: HeroLight, luminance: Image) -> float:
    """Return what the exposure is metered by, lx: the illuminance at the hero, or what the whole frame reads as one.

    `luminance` is that of the frame, (height, width) cd/m2.
    """
    if hero.shot.camera.exposure == "scene":
        return scene_luminance(luminance) * INCIDENT / REFLECTED
    return hero.metered_lux


def receptor_lux(shot: Shot, tracing: Tracing) -> NDArray[np.float64]:
    """Return the illuminance by each emitter undimmed on each receptor, (emitters, batches, 2, receptors), lx."""
    irradiance = tracing.small.irradiance(shot.bare_geometry, shot.emitter_shapes, shot.receptors)
    pairs = zip(irradiance, shot.lit_emitters, strict=True)
    return np.array([lux(by_band, emitter.radiance) for by_band, emitter in pairs])


def facing_lux(full_lux: NDArray[np.float64], setup: PlacedSetup) -> NDArray[np.float64]:
    """Return the illuminance by each lamp undimmed on the receptor that faces it, (lamps,)."""
    mean = full_lux.mean(axis=1).sum(axis=1)
    return np.array([mean[i, i] for i in range(len(setup.lamps))])


def metering_lamp(setup: PlacedSetup, facing: Sequence[float] | NDArray[np.float64]) -> int | None:
    """Return the number of the lamp that meters, from the undimmed illuminance by each on the receptor facing it."""
    lit = [float(full) * lamp.dimmer for full, lamp in zip(facing, setup.lamps, strict=True)]
    keys = [i for i, lamp in enumerate(setup.lamps) if lamp.role == "key" and lit[i] > 0]
    if keys:
        return keys[0]
    return int(np.argmax(lit)) if any(lit) else None


def _with_sheet_dimmed(shot: Shot, setup: PlacedSetup, full_lux: NDArray[np.float64], tracing: Tracing) -> PlacedSetup:
    """Return a setup with its lamps on the sheet dimmed, and the others where those are too weak."""
    key = metering_lamp(setup, facing_lux(full_lux, setup))
    receptor = CARD if setup.meter == "card" or key is None else key
    metered = full_lux.mean(axis=1).sum(axis=1)[:, receptor]
    white = metered * WHITE / (LENS * INCIDENT * ratio(setup.exposure_stops))
    return with_sheet_dimmed(setup, sheet_light(shot, setup, white, tracing))
