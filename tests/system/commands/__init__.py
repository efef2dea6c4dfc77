"""Commands as a person types them, right and wrong."""
