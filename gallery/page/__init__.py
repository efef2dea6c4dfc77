"""The page: frames, placement and readings of a finished sheet in one self-contained HTML file."""
