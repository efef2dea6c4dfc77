"""Models that come along: the demo and the stand-ins."""
