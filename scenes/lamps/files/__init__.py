"""Files of measured lamps: photometry (IES LM-63, EULUMDAT) and spectra (columns, IES TM-27)."""
