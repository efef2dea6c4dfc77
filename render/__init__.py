"""From an arrangement to light, and from light to a frame."""
