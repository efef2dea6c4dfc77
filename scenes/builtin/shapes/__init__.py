"""Shapes that built-in models are put together from."""
