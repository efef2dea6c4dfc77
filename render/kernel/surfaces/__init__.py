"""What light does at surfaces: BSDFs of finishes, textures and washes, and transmission straight through clear ones."""
