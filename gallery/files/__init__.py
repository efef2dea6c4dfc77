"""Pictures on disk, and their names."""
