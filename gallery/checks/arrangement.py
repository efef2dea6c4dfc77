"""The `check` command: what is wrong or unwise with an arrangement or a mesh, before anything is traced."""

from __future__ import annotations

import re
from collections import Counter
from typing import Any

import numpy as np

from gallery.captions.lamp import lamp_doubts
from gallery.frames.shots import default_setups
from scenes.arrangement.resolving import ResolvedArrangement
from scenes.geometry import distance_to_board
from scenes.setups.collisions import Body, card_body, clashes, lamp_body
from scenes.setups.place import in_frame
from scenes.setups.placed import PlacedLamp, PlacedSetup, place_setup
from scenes.stage.backdrop import edges_in_sight
from scenes.subject.subject import Part, Subject
from scenes.units import stops

FEW_PARTS = 12
TOUCH_CM = 0.1
FAR_SIZES = 5.0  # inverse square holds within 1 % from there on (five-times rule of the lighting handbooks)


def check_facts(arrangement: ResolvedArrangement) -> dict[str, Any]:
    """Return the subject's measures and parts, and every doubt about the arrangement, as plain data."""
    subject = arrangement.subject
    facts: dict[str, Any] = {"title": arrangement.title}
    doubts: list[str] = []
    if subject is not None:
        facts["size_cm"] = [round(v, 2) for v in arrangement.dimensions_cm or ()]
        facts["triangles"] = sum(len(part.faces) for part in subject.parts)
        facts["parts"] = [part.name for part in subject.parts]
        facts["part_sizes"] = [_part_facts(part) for part in subject.parts]
        doubts += [*subject.notes, *unmatched(arrangement), *_fogged(arrangement, subject)]
    else:
        doubts.append("there is no [subject] with a mesh: this is an empty table, for meters")
    doubts += [doubt for lamp in arrangement.lamps for doubt in lamp_doubts(lamp)]
    for name in default_setups(arrangement):
        doubts += setup_doubts(place_setup(name, arrangement))
    facts["doubts"] = list(dict.fromkeys(doubts))
    return facts


def check_lines(facts: dict[str, Any]) -> list[str]:
    """Return the facts as lines for a person."""
    lines = [facts["title"]]
    if "size_cm" in facts:
        width, length, height = facts["size_cm"]
        lines.append(
            f"{width:g} cm wide, {length:g} cm long, {height:g} cm tall; {facts['triangles']} triangles in "
            f"{len(facts['parts'])} part{'s' if len(facts['parts']) > 1 else ''}"
        )
        lines += part_lines(facts["part_sizes"])
    lines += [f"- {doubt}" for doubt in facts["doubts"]] or ["nothing to mend"]
    return lines


def part_lines(parts: list[dict[str, Any]]) -> list[str]:
    """Return what each part is called and how large it is, a line each; of many, how to name several at once."""
    widest = max(len(part["name"]) for part in parts)
    lines = [
        f"  {part['name']:{widest}}  {' x '.join(f'{v:g}' for v in part['size_cm'])} cm, {part['triangles']} triangles"
        + (f", of {part['material']}" if "material" in part else "")
        for part in parts
    ]
    if len(parts) > FEW_PARTS:
        stem = _common_stem([part["name"] for part in parts])
        lines.append(f'several at once: match = "{stem}*" under [[subject.parts]]; the last that matches says')
    return ["parts: name, width x length x height, triangles", *lines]


def unmatched(arrangement: ResolvedArrangement) -> list[str]:
    """Return the wildcards of an arrangement that no part answers to."""
    declared, subject = arrangement.declared.subject, arrangement.subject
    if declared is None or subject is None:
        return []
    patterns = [("parts", part.match) for part in declared.parts]
    patterns += [("no_topcoat", pattern) for pattern in declared.no_topcoat]
    patterns += [("wash", pattern) for pattern in (declared.wash.match if declared.wash else ())]
    return [f"subject.{key}: nothing is called '{p}'" for key, p in patterns if not subject.matching(p)]


def _fogged(arrangement: ResolvedArrangement, subject: Subject) -> list[str]:
    """Return the clear parts that a topcoat would cover."""
    finishes = arrangement.finishes
    clear = {part for rule in finishes.rules if rule.declared.clear for part in subject.matching(rule.declared.match)}
    names = {part.name for part in clear if finishes.topcoat_of(part) is not None}
    return [f"'{name}' is clear and under the topcoat, which fogs it: put it in no_topcoat" for name in sorted(names)]


def setup_doubts(setup: PlacedSetup) -> list[str]:
    """Return what is unwise about a setup as it stands."""
    doubts = [f"{setup.name} {lack}" for lack in setup.lacks]
    if setup.sweep is not None:
        doubts += [f"the camera sees past the {edge} of the sheet" for edge in edges_in_sight(setup.sweep, setup.view)]
    doubts += [
        f"{setup.name}: the {lamp.role} ({lamp.name}) stands in the frame"
        for lamp in setup.lamps
        if not lamp.hidden and in_frame(lamp.place, lamp.lamp.extent_cm, setup.view)
    ]
    doubts += [f"{setup.name}: {clash}" for clash in clashes(*_bodies(setup))]
    doubts += [f"{setup.name}: {near}" for lamp in setup.lamps for near in _too_near(lamp, setup)]
    if setup.subject is not None:
        points = setup.subject.surface_points(2000).astype(float)
        doubts += [
            f"the card '{card.name}' touches the subject"
            for card in setup.cards
            if distance_to_board(points, card.at_cm, card.facing, card.size_cm).min() < TOUCH_CM
        ]
        near = _nearness_stops(setup)
        if near > 2.0:
            doubts.append(f"{setup.name}: the key is so near that the subject's far side is {near:.1f} stops under")
    return doubts


def _part_facts(part: Part) -> dict[str, Any]:
    size = np.ptp(part.vertices_cm.astype(float), axis=0)
    facts = {"name": part.name, "triangles": len(part.faces), "size_cm": [float(f"{v:.3g}") for v in size]}
    return {**facts, "material": part.material} if part.material else facts


def _common_stem(names: list[str]) -> str:
    """Return the beginning, up to a number or a space, that most names share."""
    stems = Counter(re.split(r"[\d\s_.-]", name, maxsplit=1)[0] or name for name in names)
    return stems.most_common(1)[0][0]


def _bodies(setup: PlacedSetup) -> tuple[list[Body], list[Body]]:
    return [lamp_body(lamp.lamp, lamp.place) for lamp in setup.lamps], [card_body(card) for card in setup.cards]


def _too_near(lamp: PlacedLamp, setup: PlacedSetup) -> list[str]:
    """Return a doubt where a measured lamp stands nearer than its file holds: five times its size (handbook rule)."""
    if lamp.lamp.model.photometry is None:
        return []
    holds_cm = FAR_SIZES * max(lamp.lamp.extent_cm)
    stands_cm = float(np.linalg.norm(np.subtract(lamp.place.at_cm, setup.hero_cm)))
    if stands_cm >= holds_cm:
        return []
    return [
        f"{lamp.name} stands {stands_cm:.0f} cm from what it lights; its photometric file was measured from afar and "
        f"holds from {holds_cm:.0f} cm on"
    ]


def _nearness_stops(setup: PlacedSetup) -> float:
    """Return the inverse-square fall-off of the key over the subject's bounds, stops."""
    if setup.subject is None:
        return 0.0
    points = setup.subject.surface_points(500)
    squared = ((points - setup.lamps[0].place.at_cm) ** 2).sum(axis=1)
    return stops(float(squared.max() / squared.min()))
