"""Numbers measured on a frame."""
