"""3MF, a zip of XML."""
