"""What the camera makes of the light."""
