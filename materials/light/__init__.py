"""Light: the observer, spectra, CIE illuminants, LEDs, colour rendering."""
