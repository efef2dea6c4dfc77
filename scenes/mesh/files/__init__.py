"""Mesh files, a module a format."""
