"""`spruelight check`: size and parts of the subject, and warnings, before anything is traced."""

from __future__ import annotations

import re
from collections import Counter
from typing import Any, Final

import numpy as np

from gallery.frames.shots import default_setups
from scenes.arrangement.resolving import ResolvedArrangement
from scenes.lengths import dimensions_words, size_words
from scenes.setups.place_setup import place_setups
from scenes.subject.kind import SubjectKind
from scenes.subject.subject import Part, Subject
from scenes.subject.whereabouts import whereabouts

from .cards import card_facts, card_lines
from .lamp import lamp_facts, lamp_lines, lamp_warnings
from .mixed_light import mismatches, mixed_light_summary
from .orientation import likelier_orientation
from .setup import setup_warnings
from .topcoat import topcoat_warnings

FEW_PARTS: Final = 12
"""So many are named one by one, without a hint at wildcards."""


def check_facts(arrangement: ResolvedArrangement) -> dict[str, Any]:
    """Return the subject's size and parts, and every warning about the arrangement, as plain data."""
    subject = arrangement.model
    facts: dict[str, Any] = {"title": arrangement.title}
    warnings: list[str] = []
    if subject is not None:
        facts["size_cm"] = [round(v, 2) for v in arrangement.dimensions_cm or ()]
        facts["sized_by"] = subject.sized_by
        facts["kind"], facts["faces_deg"] = arrangement.kind, arrangement.faces_deg
        facts["kind_is_guessed"] = arrangement.kind_is_guessed
        likelier = likelier_orientation(arrangement)
        facts["likelier_orientation"] = likelier and likelier.facts
        facts["triangles"] = sum(len(part.faces) for part in subject.parts)
        facts["parts"] = [part.name for part in subject.parts]
        facts["part_sizes"] = [_part_facts(part, subject, arrangement.kind) for part in subject.parts]
        warnings += [likelier.doubt] if likelier else []
        warnings += [*subject.notes, *unmatched_patterns(arrangement), *topcoat_warnings(arrangement.finishes, subject)]
    else:
        warnings.append("there is no [subject] with a mesh: this is an empty table, for meters")
    facts["lamps"] = [lamp_facts(lamp) for lamp in arrangement.lamps]
    facts["cards"] = card_facts(arrangement.owned_cards)
    warnings += [warning for lamp in arrangement.lamps for warning in lamp_warnings(lamp)]
    placed, left_out = place_setups(default_setups(arrangement), arrangement)
    mixed = [one for setup in placed for one in mismatches(setup, arrangement.declared.room)]
    warnings += mixed_light_summary(mixed)
    warnings += [warning for setup in placed for warning in setup_warnings(setup, arrangement.declared.room)]
    warnings += [setup.sentence for setup in left_out]
    facts["doubts"] = list(dict.fromkeys(warnings))
    return facts


def check_lines(facts: dict[str, Any]) -> list[str]:
    """Return the facts as lines for a person."""
    lines = [facts["title"]]
    if "size_cm" in facts:
        sized_by = f", by the {facts['sized_by']} of its file" if facts["sized_by"] else ""
        lines.append(
            f"{dimensions_words(*facts['size_cm'])}{sized_by}; {facts['triangles']} triangles in {len(facts['parts'])} "
            f"part{'s' if len(facts['parts']) > 1 else ''}"
        )
        lines += [*_kind_lines(facts), *_part_lines(facts["part_sizes"])]
    return [*lines, *lamp_lines(facts["lamps"]), *card_lines(facts["cards"]), *doubt_lines(facts)]


def doubt_lines(facts: dict[str, Any]) -> list[str]:
    """Return the warnings among facts as lines of a list."""
    return [f"- {warning}" for warning in facts["doubts"]] or ["no warnings"]


def _kind_lines(facts: dict[str, Any]) -> list[str]:
    """Return a line on what kind was guessed, and how the model stands therefore; none where the kind is known."""
    if not facts["kind_is_guessed"]:
        return []
    article = "an" if facts["kind"] == "object" else "a"
    way = f"turned {facts['faces_deg']:g} degrees" if facts["faces_deg"] else "facing the camera"
    return [f'taken for {article} {facts["kind"]}: it stands {way}; kind = "..." or faces_deg says otherwise']


def unmatched_patterns(arrangement: ResolvedArrangement) -> list[str]:
    """Return a warning for each wildcard of an arrangement that matches no part."""
    declared, subject = arrangement.declared.subject, arrangement.subject
    if declared is None or subject is None:
        return []
    patterns = [("parts", part.match) for part in declared.parts]
    patterns += [("no_topcoat", pattern) for pattern in declared.no_topcoat]
    patterns += [("wash", pattern) for pattern in (declared.wash.match if declared.wash else ())]
    return [f"subject.{key}: nothing is called '{p}'" for key, p in patterns if not subject.matching(p)]


def _part_facts(part: Part, subject: Subject, kind: SubjectKind) -> dict[str, Any]:
    size = np.ptp(part.vertices_cm.astype(float), axis=0)
    facts = {
        "name": part.name,
        "triangles": len(part.faces),
        "size_cm": [float(f"{v:.3g}") for v in size],
        "where": whereabouts(subject, part, kind),
    }
    return {**facts, "material": part.material} if part.material else facts


def _part_lines(parts: list[dict[str, Any]]) -> list[str]:
    """Return each part's name and size, a line each; of many, a wildcard for several at once."""
    widest = max(len(part["name"]) for part in parts)
    lines = [
        f"  {part['name']:{widest}}  {size_words(*part['size_cm'])}, {part['triangles']} triangles"
        + (f", of {part['material']}" if "material" in part else "")
        + (f"; {part['where']}" if len(parts) > 1 else "")
        for part in parts
    ]
    if len(parts) > FEW_PARTS:
        stem = _common_stem([part["name"] for part in parts])
        lines.append(f'several at once: match = "{stem}*" under [[subject.parts]]; the last that matches says')
    return [f"parts: name, width x length x height, triangles{'; where' if len(parts) > 1 else ''}", *lines]


def _common_stem(names: list[str]) -> str:
    """Return the most frequent beginning of names, up to a number or a space."""
    stems = Counter(re.split(r"[\d\s_.-]", name, maxsplit=1)[0] or name for name in names)
    return stems.most_common(1)[0][0]
