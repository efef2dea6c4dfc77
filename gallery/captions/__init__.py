"""Frames and lamps described, for captions and for JSON."""
