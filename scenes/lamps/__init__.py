"""Lamps: what is known of them, and the light that they give."""
