"""What things are made of: spectra, gloss, finishes. Numpy only; knows no geometry and no renderer."""
