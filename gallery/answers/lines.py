"""Answers of the `ask` command in words."""

from __future__ import annotations

from typing import Any

from gallery.captions.frame import shutter_words

TRIPOD = "on a tripod"


def exposure_lines(facts: dict[str, Any]) -> list[str]:
    """Return whether the light is enough, on a tripod and by hand, a line each."""
    lines = [f"{facts['setup']} gives the hero {facts['lux']:.0f} lx"]
    lines.append(_enough(TRIPOD, facts["tripod"]))
    if facts["by_hand"]["shutter_s"] < facts["tripod"]["shutter_s"]:
        lines.append(_enough("by hand", facts["by_hand"]))
    return lines


def lumens_lines(facts: dict[str, Any]) -> list[str]:
    """Return what the key needs, in one line."""
    more = facts["lumens"] / facts["owned_lumens"]
    has = f"{facts['lamp']} gives {facts['owned_lumens']:.0f} lm, " + (
        f"{more:.1f} times too little" if more > 1 else f"enough at {100 * more:.0f} %"
    )
    clear = facts["clear_lumens"]
    bare = f" ({clear:.0f} lm if nothing blocked or returned light)" if clear else ""
    return [
        f"{facts['setup']}: {facts['needed_lux']:.0f} lx at the hero takes {facts['lumens']:.0f} lm "
        f"from a key {facts['distance_cm']:.0f} cm away{bare}; {has}"
    ]


def fill_lines(facts: dict[str, Any]) -> list[str]:
    """Return how the fill stands to the key and what puts it right, a line each."""
    fill, wanted = facts["fill"], facts["wanted_stops"]
    now = "it is off" if facts["now_stops"] is None else f"it is {_under(facts['now_stops'])} the key now"
    lines = [f"{fill} is the fill: {now}, and {_under(facts['full_stops'])} at full"]
    if facts["dimmer"] > 1:
        lines.append(f"too weak for {wanted:g} stops: it would take {facts['needed_lumens']:.0f} lm, or a dimmer key")
    elif facts["dimmable"]:
        lines.append(f"dimmed to {100 * facts['dimmer']:.0f} % it is {wanted:g} stops under")
    if facts["distance_cm"] is None:
        lines.append("no distance up to 4 m on its line from the hero makes it so")
        return lines
    traced = facts["traced_stops"]
    x, y, z = facts["at_cm"]
    confirmed = "something hides it there" if traced is None else f"traced there: {_under(traced)}"
    start = "or at full" if len(lines) > 1 else "at full"
    lines.append(
        f"{start}, {facts['distance_cm']:.0f} cm from the hero in place of {facts['now_cm']:.0f} cm, at "
        f"[{x:.0f}, {y:.0f}, {z:.0f}] cm; {confirmed}"
    )
    return lines


def _enough(how: str, facts: dict[str, Any]) -> str:
    spare = facts["stops_to_spare"]
    wish = f"{how}, {shutter_words(facts['shutter_s'])} f/{facts['f_number']:g} ISO {facts['iso']:g}"
    if spare >= 0:
        return f"{wish}: enough, {spare:.1f} stops to spare{_lamps_at(facts['lamps_factor'])}"
    factor = facts["lamps_factor"]
    more = "" if factor is None else f"{factor:.1f} times the lumens, or "
    longer = f"{facts['or_shutter_s']:.2g} s, or " if how == TRIPOD else ""
    return (
        f"{wish}: {-spare:.1f} stops short: it takes {more}{longer}"
        f"ISO {facts['or_iso']:.0f}, or f/{facts['or_f_number']:.1f}"
    )


def _lamps_at(factor: float | None) -> str:
    if factor is None or factor <= 0:
        return ", by the room's light alone"
    return f" (with the lamps at {100 * factor:.0f} % of what they give now)"


def _under(stops: float) -> str:
    return f"{stops:.1f} stops under" if stops >= 0 else f"{-stops:.1f} stops over"
