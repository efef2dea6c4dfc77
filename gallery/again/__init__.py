"""A frame as an arrangement: the same light again."""
