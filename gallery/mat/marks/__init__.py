"""What is marked on the table: the model, lamps, cards, camera and sheet, in cm and in words."""
