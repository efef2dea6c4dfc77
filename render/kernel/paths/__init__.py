"""A path on its way: its samples and wavelengths, what it carries, and what each surface point adds."""
