"""Lamps as emitters: points to sample on them, and the radiance that a ray sees of them."""
