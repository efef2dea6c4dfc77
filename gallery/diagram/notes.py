"""What to know of a setup before its picture is judged: what it lacks, lamps of two whites, how far sights are met."""

from __future__ import annotations

from scenes.setups.placed import PlacedSetup

from .mixed_whites import mixed_white_notes


def setup_notes(setup: PlacedSetup) -> tuple[str, ...]:
    """Return sentences on what a setup with its dimmers solved lacks, and on its lamps of different whites."""
    lacks = [f"This setup {shortfall}." for shortfall in setup.shortfalls]
    return (*lacks, *mixed_white_notes(setup))


def sights_heading(setup: PlacedSetup) -> str:
    """Return the heading of what the picture should show, or would with the ratios that the lamps do not reach."""
    return "What the picture should show" if setup.reaches_ratios else "With the wanted ratios, the picture would show"
