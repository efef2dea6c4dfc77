"""Where the time of a sheet goes: rounds of passes, allotted to the lamp images with most of its frames' noise."""
