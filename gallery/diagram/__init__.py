"""The drawing of a setup for the table: plan and side view to scale, lamps in numbers, what to do in order."""
