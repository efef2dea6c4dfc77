"""The summary of a run: what was rendered, the grain left in each frame, what failed, when it ended and why."""

from __future__ import annotations

import json
from dataclasses import replace
from datetime import UTC, datetime

import pytest

from gallery.budget.goal import Goal, goal_of
from gallery.budget.summary import NOT_MEASURED, Run, run_facts, summary_lines
from scenes.setups.place_setup import LeftOut

GRAINS = (("loop", 0.004), ("rim", 0.018), ("split", 0.0061), ("broad", 0.009), ("short", 0.0052), ("kicker", 0.011))
NIGHT = Run(
    goal=goal_of(None, until="07:00"), rounds=23, grains=GRAINS, images=18, geometries=6, passes=(12, 96),
    failed=[LeftOut("overhead", "has no room above the model")],
    ended_at=datetime(2026, 11, 28, 6, 52, 11, tzinfo=UTC), seconds=28200.0,
    ended="the next round would have ended after --until 07:00",
)  # fmt: skip


def test_a_night_is_told_in_four_lines() -> None:
    assert summary_lines(NIGHT) == [
        "ended at 06:52 after 7 h 50 min: the next round would have ended after --until 07:00",
        "6 frames of 18 lamp images, 12 to 96 passes each, 23 rounds",
        "grain left: rim 1.8 %, kicker 1.1 %, broad 0.9 %, the other 3 0.4 to 0.61 %; "
        "coarser than --quality fine, 0.3 %",
        "overhead is left out: it has no room above the model",
    ]


def test_few_frames_are_told_one_by_one() -> None:
    assert summary_lines(replace(NIGHT, grains=GRAINS[:4]))[2] == (
        "grain left: rim 1.8 %, broad 0.9 %, split 0.61 %, loop 0.4 %; coarser than --quality fine, 0.3 %"
    )


def test_what_was_not_measured_is_not_told() -> None:
    draft = replace(NIGHT, grains=[("loop", None)], images=1, passes=(2, 2), rounds=1, failed=[])
    assert summary_lines(draft)[1:] == ["1 frame of 1 lamp image, 2 passes each, 1 round", NOT_MEASURED]


@pytest.mark.parametrize(
    ("grain", "goal", "quality", "verdict"),
    [
        (0.001, goal_of(None, work_for="6h"), "overnight", "as fine as --quality overnight, 0.1 %"),
        (0.0029, goal_of(None, work_for="6h"), "fine", "as fine as --quality fine, 0.3 %"),
        (0.0029, goal_of("overnight", work_for="6h"), "fine", "coarser than the grain wanted, 0.1 %"),
        (0.004, goal_of(None, "0.5%"), "draft", "coarser than --quality fine, 0.3 %"),
    ],
)
def test_it_says_how_good_the_coarsest_frame_is(grain: float, goal: Goal, quality: str, verdict: str) -> None:
    run = replace(NIGHT, goal=goal, grains=[("loop", 0.0001), ("rim", grain)], failed=[])
    assert summary_lines(run)[-1].endswith(f" %; {verdict}")
    assert run_facts(run)["quality"] == quality


def test_the_facts_have_every_frame_the_coarsest_first_and_all_that_the_lines_tell() -> None:
    facts = json.loads(json.dumps(run_facts(replace(NIGHT, grains=(*GRAINS, ("low-key", None))))))
    assert [frame["name"] for frame in facts["frames"]] == [
        "low-key", "rim", "kicker", "broad", "split", "short", "loop"
    ]  # fmt: skip
    assert [frame["grain_percent"] for frame in facts["frames"]] == [None, 1.8, 1.1, 0.9, 0.61, 0.52, 0.4]
    assert {key: facts[key] for key in ("rounds", "lamp_images", "geometries", "passes", "failed")} == {
        "rounds": 23, "lamp_images": 18, "geometries": 6, "passes": {"least": 12, "most": 96},
        "failed": [{"setup": "overhead", "why": "has no room above the model"}],
    }  # fmt: skip
    assert (facts["ended_at"], facts["seconds"]) == ("2026-11-28T06:52:11+00:00", 28200.0)
    assert facts["ended"] == NIGHT.ended
