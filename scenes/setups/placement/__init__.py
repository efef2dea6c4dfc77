"""Where lamps and cards can stand: candidate places, the constraints on them, and the nearest that meets all."""
