"""What is mended in a mesh before it is shaded."""
