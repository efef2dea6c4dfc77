"""The complete placement of a setup: facts with a sentence for each thing, the same wherever it is shown."""

from __future__ import annotations

from typing import Any

from scenes.arrangement.arrangement import CameraModel
from scenes.lengths import Reading, tape_reading
from scenes.setups.placed import PlacedSetup

from .card import card_facts
from .lamp import lamp_facts
from .stage import backdrop_facts, camera_facts, model_facts


def placement_facts(setup: PlacedSetup, camera: CameraModel, reading: Reading = tape_reading) -> dict[str, Any]:
    """Return where everything of a setup stands, in the order in which it is set up; the sentences are `words`.

    `reading` rounds the distances in them.
    """
    around = "the centre mark" if setup.subject is None else "the model"
    return {
        "backdrop": backdrop_facts(setup.sweep, setup.backdrop_board, reading),
        "model": model_facts(setup, reading),
        "camera": camera_facts(camera, setup.view, setup.hero_cm, reading),
        "lamps": [lamp_facts(lamp, setup, reading) for lamp in setup.lamps],
        "cards": [card_facts(card, around, reading) for card in setup.cards],
    }


def placement_lines(facts: dict[str, Any]) -> list[str]:
    """Return the sentences of a placement, one for each thing that is there."""
    return [*stage_lines(facts), *(thing["words"] for thing in (*facts["lamps"], *facts["cards"]))]


def stage_lines(facts: dict[str, Any]) -> list[str]:
    """Return the sentences of backdrop, model and camera, of those that are there."""
    stage = [facts[name] for name in ("backdrop", "model", "camera")]
    return [thing["words"] for thing in stage if thing is not None]
