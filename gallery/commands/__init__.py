"""The commands, one a module: parameters, calls, printing. Heavy imports stay inside the functions."""
