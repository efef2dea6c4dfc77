"""How a model would stand: cues of its shape, and its orientations in the order of their likelihood."""
