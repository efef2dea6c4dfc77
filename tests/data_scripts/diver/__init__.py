"""The code that builds the demo model."""
