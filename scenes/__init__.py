"""The declaration: what stands where, in centimetres."""
