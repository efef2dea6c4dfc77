"""From a placed setup to its light, and from light to a frame."""
