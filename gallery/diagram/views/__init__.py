"""Plan and side view of a setup, to scale, with their distances and names."""
