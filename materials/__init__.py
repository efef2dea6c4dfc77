"""What things are made of: light, colour and surfaces. Knows no geometry and no renderer."""
