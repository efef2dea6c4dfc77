"""What the light of a shot is made of, all that a trace gives: of it a frame is taken in whichever thread."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from render.hero_light import HeroLight, hero_light
from render.images.lit_image import LitImage
from render.images.tracing import Tracing
from render.shot import Shot

if TYPE_CHECKING:
    from render.kernel.features import Features


@dataclass(frozen=True, eq=False)
class ShotImages:
    """The images of a shot with its dimmers solved.

    Parameters
    ----------
    hero
        The light at the hero.
    features
        What its camera sees without any light.
    lit
        The picture of each emitter, undimmed.
    """

    shot: Shot
    hero: HeroLight
    features: Features
    lit: tuple[LitImage, ...]


def shot_images(shot: Shot, tracing: Tracing, passes: int) -> ShotImages:
    """Return the images of a shot; traces what is not stored of them."""
    hero, geometry = hero_light(shot, tracing), shot.geometry
    lit = (tracing.lit_image(geometry, each.shape, each.radiance, passes) for each in hero.emitters)
    return ShotImages(shot, hero, tracing.features(geometry), tuple(lit))
