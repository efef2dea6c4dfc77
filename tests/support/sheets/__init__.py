"""Frames, sheets and strips that tests write and look at."""
