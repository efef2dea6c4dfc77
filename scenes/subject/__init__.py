"""The model on the table: sized, oriented and seated."""
