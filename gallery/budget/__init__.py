"""How long a sheet is worked on: its goal, rounds until then, the time left, a summary at the end."""
