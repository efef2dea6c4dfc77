"""What a person sees: the command line, the contact sheet, the doctor."""
