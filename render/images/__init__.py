"""Lamp images: spectral bands, sums, the store, and batches of shots."""
