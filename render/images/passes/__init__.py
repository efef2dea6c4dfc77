"""Passes of a lamp image: their sums and halves, the rungs at which they are sealed, and sealed images."""
