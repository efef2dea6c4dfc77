"""The model on the table: sized, turned, seated."""
