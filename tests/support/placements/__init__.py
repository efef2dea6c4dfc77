"""An independent check of placed setups: bodies as sampled points and triangles, in numpy and trimesh alone.

Nothing here calls what places lamps and cards: it reads numbers of a placed setup and does its own geometry.
"""
