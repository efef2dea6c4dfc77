"""Drawings of a model without any lamp: how it may stand, and its parts."""
