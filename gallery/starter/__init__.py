"""A new arrangement for a mesh."""
