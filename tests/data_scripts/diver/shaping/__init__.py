"""Solids, noise, cloth and surfaces that the diver is shaped with."""
