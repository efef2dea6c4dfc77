"""A placed setup as plain data in SI, with a fingerprint and no renderer."""
