"""Facts in words, as the commands print them."""
