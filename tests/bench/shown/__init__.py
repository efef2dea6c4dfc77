"""Error as it is shown: clipped to white, by material and by part of the light, against long renders of each lamp."""
