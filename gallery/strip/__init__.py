"""The test strip: one field at several values."""
