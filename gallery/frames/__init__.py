"""From names on the command line to frames."""
