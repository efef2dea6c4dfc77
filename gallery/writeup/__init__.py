"""A finished sheet for the build article: pictures, words, tables, diagrams, arrangements."""
