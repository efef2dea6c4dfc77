"""The arrangement file: its models, and how it is read and resolved."""
