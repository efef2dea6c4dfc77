"""The placement of a setup as facts and in words, for a tape measure."""
