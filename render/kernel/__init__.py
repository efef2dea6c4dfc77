"""The only code that imports Mitsuba and Dr.Jit."""
