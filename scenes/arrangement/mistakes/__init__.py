"""Mistakes in a file as sentences: where each is, what was found, and what would be right."""
