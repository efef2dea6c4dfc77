"""From light to a picture: exposure, white balance, lamp bodies, visibility, denoising."""
