"""What is wrong or unwise about an arrangement, a setup or a lamp."""
