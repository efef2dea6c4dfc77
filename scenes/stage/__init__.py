"""The stage: camera and backdrop."""
