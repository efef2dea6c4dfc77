"""Built-in models: the demo and the stand-ins."""
