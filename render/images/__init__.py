"""Lamp images: bands, sums, the store, and the order of tracing."""
