"""The named setups, and placing them round a subject."""
