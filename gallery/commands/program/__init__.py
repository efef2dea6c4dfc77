"""Commands on what the program knows and keeps: lists, schema, installation, cache."""
