"""A folder of arrangements: a sheet of each, and an index of them."""
