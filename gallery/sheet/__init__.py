"""Layout of a sheet of frames, and the contact sheet."""
