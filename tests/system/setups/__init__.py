"""Setups as placed and lit: bounds, exposure, facts of the trade."""
