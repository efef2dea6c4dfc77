"""Tabulated data files; `tests/data_scripts` makes them."""
