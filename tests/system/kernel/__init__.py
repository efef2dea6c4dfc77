"""The path tracer: against the stock one, by laws of light, and its own guarantees."""
