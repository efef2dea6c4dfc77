"""Colour: sRGB, Lab and Munsell to reflectance spectra, and measured reflectance."""
