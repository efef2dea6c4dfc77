"""Surfaces: gloss and roughness, energy between facets, finishes, and the named finishes, boards and metals."""
