"""Reflectances that were measured, and those of pictures."""
