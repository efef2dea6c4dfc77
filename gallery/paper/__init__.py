"""Pages for a printer: sizes, drawing in cm, files."""
