"""Lamp images: spectral bands, passes, noise, the store, and batches of shots."""
