"""Sentences on what a setup wants and does not get, with what would mend it."""

from __future__ import annotations

from typing import Final

from scenes.lamps.lamp import Lamp
from scenes.lengths import about_words, size_words
from scenes.setups.card_choice import CardChoice
from scenes.setups.place import Stage
from scenes.setups.setup import RelativePlacement

from .lattice import azimuth_deg
from .search import Found

BELOW: Final = "below the frame"
OVERHEAD_DEG: Final = 70.0
RAISED_DEG: Final = 35.0
LOW_DEG: Final = -5.0
LEVEL_DEG: Final = 15.0
AHEAD_DEG, ASIDE_DEG, BESIDE_DEG, BEHIND_DEG = 25.0, 70.0, 110.0, 160.0


def lamp_lack(wanted: RelativePlacement, lamp: Lamp, found: Found, stage: Stage) -> str:
    """Return what is lacking where a lamp found no place, or only one far off: which, where, why, what mends it."""
    where = where_words(wanted, stage)
    remedy = found.obstacle.remedy.replace("smaller one", "smaller lamp") if found.obstacle else ""
    if where == BELOW:
        remedy = f"lay a white card there or {remedy}"
    return f"wants a lamp {where}: the {_size(lamp)} {lamp.model.kind} {_reason(found)}; {remedy}"


def card_lack(choice: CardChoice, found: Found, stage: Stage) -> str:
    """Return what is lacking where a card found no place, or only one far off."""
    remedy = found.obstacle.remedy if found.obstacle else ""
    where, size = where_words(choice.wanted, stage), about_words(*choice.card.size_cm)
    return f"wants a card of {choice.card.board} {where}: one of {size} {_reason(found)}; {remedy}"


def _reason(found: Found) -> str:
    would = f"it would {found.obstacle.would}" if found.obstacle else ""
    if found.place is None:
        return f"fits nowhere (there {would})" if would else "fits nowhere"
    return f"does not fit there{f' ({would})' if would else ''} and stands {found.off_deg:.0f} degrees off"


def _size(lamp: Lamp) -> str:
    width, height = lamp.extent_cm
    return size_words(width, height) if lamp.model.kind == "panel" else size_words(width)


def where_words(wanted: RelativePlacement, stage: Stage) -> str:
    """Return a wanted place in words, as the camera sees it."""
    azimuth = (azimuth_deg(wanted, stage) + 180) % 360 - 180
    is_low = wanted.rise_deg <= LOW_DEG or (wanted.aim == "base" and wanted.rise_deg <= LEVEL_DEG)
    if wanted.aim == "sheet":
        return "for the backdrop"
    if wanted.hidden:
        return "hidden behind the model"
    if wanted.rise_deg >= OVERHEAD_DEG:
        return "straight above"
    if is_low and abs(azimuth) < ASIDE_DEG:
        return BELOW
    return _bearing(azimuth) + (" and above" if wanted.rise_deg >= RAISED_DEG else "")


def _bearing(azimuth_deg: float) -> str:
    away, side = abs(azimuth_deg), "right" if azimuth_deg > 0 else "left"
    if away < AHEAD_DEG:
        return "in front"
    if away >= BEHIND_DEG:
        return "behind"
    depth = "in front " if away < ASIDE_DEG else "behind " if away > BESIDE_DEG else ""
    return f"{depth}at the {side}"
