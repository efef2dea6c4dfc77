"""Cards and boards as an arrangement declares them: in numbers and in everyday words, with paper sizes."""
