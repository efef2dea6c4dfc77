"""Pictures for other programs: spectral and XYZ OpenEXR, 16-bit TIFF."""
