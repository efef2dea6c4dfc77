"""The tables of the arrangement that a frame is written as, as plain data."""

from __future__ import annotations

from typing import Any, Final

import numpy as np

from gallery.files.toml_text import toml_value
from gallery.frames.shots import AS_BUILT
from materials.surface.named_finishes import named_finishes
from render.frame import Frame
from scenes.arrangement.cards.board_model import BoardModel
from scenes.arrangement.cards.placed_card import PlacedCard
from scenes.arrangement.mistakes.synonyms import finish_name
from scenes.arrangement.resolving import ResolvedArrangement
from scenes.lamps.light_source import has_kelvin
from scenes.setups.placed import PlacedLamp, PlacedSetup
from scenes.setups.staging import fitted_facings_deg

from .pieces import Slot

Table = dict[str, Any]
PLACE_KEYS: Final = frozenset({"name", "role", "at_cm", "aim_cm", "upright", "dimmer"})
"""Keys of a lamp that are those of the frame."""
BOARD_KEYS: Final = frozenset({"reflectance", "colour", "distance_cm"})
"""Keys of a backdrop that are those of the frame."""
METERED: Final = frozenset({"stops", "support"})
"""Keys of the camera that say nothing where its exposure is fixed."""


def subject_table(arrangement: ResolvedArrangement, frame: Frame) -> Table:
    """Return the keys of [subject], turned as in the frame and under its topcoat; empty without a subject."""
    declared = arrangement.declared.subject
    if declared is None:
        return {}
    data = declared.model_dump(exclude_unset=True)
    parts = data.pop("parts", ())
    stated = {**data, "kind": arrangement.kind, "faces_deg": frame.setup.facing_deg}
    if frame.shot.finish != AS_BUILT:
        stated["topcoat"] = _topcoat(frame.shot.finish)
    return {**stated, "parts": parts}


def camera_table(arrangement: ResolvedArrangement, frame: Frame) -> Table:
    """Return the keys of [camera]: where it stands, what the frame has room for, the exposure and the white balance."""
    camera, exposure, setup = frame.shot.camera, frame.exposure, frame.setup
    stated = {key: value for key, value in camera.model_dump(exclude_unset=True).items() if key not in METERED}
    _, away_cm, height_cm = setup.view.at_cm
    stated |= {"distance_cm": -away_cm, "height_cm": height_cm, "f_number": exposure.f_number, "iso": exposure.iso}
    if setup.subject is not None:
        stated["facings_deg"] = fitted_facings_deg(arrangement, setup.facing_deg)
    if setup.meter == "card":
        stated["exposure"] = "card"
    return {
        **stated,
        "shutter_s": Slot("shutter_s", toml_value(exposure.shutter_s)),
        "white_balance": Slot("white_balance", toml_value(_white_balance(frame))),
    }


def backdrop_table(arrangement: ResolvedArrangement, frame: Frame) -> Table:
    """Return the keys of [backdrop]: what the frame has behind the subject, its wall where it stands."""
    setup, declared = frame.setup, arrangement.declared.backdrop
    stated = {key: value for key, value in declared.model_dump(exclude_unset=True).items() if key not in BOARD_KEYS}
    wall = {} if setup.sweep is None else {"distance_cm": setup.sweep.wall_cm}
    return {**stated, **_board_keys(setup.board), **wall}


def lamp_table(placed: PlacedLamp, number: int) -> Table:
    """Return the keys of the lamp of a number: what was declared of it, its place, role and dimmer."""
    lamp, place = placed.lamp, placed.place
    stated = {key: value for key, value in lamp.stated.items() if key not in PLACE_KEYS}
    own = {"name": lamp.name, **stated, "role": placed.role, "at_cm": place.at_cm, "aim_cm": place.aim_cm}
    width, height = lamp.extent_cm
    if width != height and place.upright != (height > width):
        own["upright"] = place.upright
    if has_kelvin(lamp.model):
        own["kelvin"] = Slot("kelvin", toml_value(lamp.model.kelvin), number)
    return {**own, "dimmer": Slot("dimmer", toml_value(placed.dimmer), number)}


def card_tables(arrangement: ResolvedArrangement, setup: PlacedSetup) -> list[Table]:
    """Return the keys of each card that stands in a setup: those of the arrangement, then the setup's own."""
    declared = [card.model_dump(exclude_unset=True) for card in arrangement.cards if card.at_cm is not None]
    own = setup.cards[len(arrangement.placed_cards) :]
    return [*declared, *(_card_table(card) for card in own)]


def _card_table(card: PlacedCard) -> Table:
    place = {"at_cm": card.at_cm, "facing": card.facing}
    return {"name": card.name, "size_cm": card.size_cm, **_board_keys(card), **place}


def _board_keys(board: BoardModel) -> Table:
    return {"reflectance": board.reflectance} if board.colour is None else {"colour": board.colour}


def _white_balance(frame: Frame) -> str | float | tuple[float, float]:
    """Return the white balance of the camera; where it is locked to another frame's, the chromaticity of that."""
    if np.array_equal(frame.white.xyz, frame.own_white.xyz):
        return frame.shot.camera.white_balance
    x, y, _ = (float(value) for value in frame.white.xyz / frame.white.xyz.sum())
    return x, y


def _topcoat(finish: str) -> str | float:
    """Return a topcoat by its name, or its gloss units."""
    return name if (name := finish_name(finish)) in named_finishes() else float(finish)
