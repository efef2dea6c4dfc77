"""Finishes as traced: energy, gloss, metal, glass, cut-outs, washes, topcoats."""
