"""Pictures of many frames: layout, contact sheet, close-ups."""
