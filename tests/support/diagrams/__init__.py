"""Diagrams of many setups, and a reader who has their text alone."""
