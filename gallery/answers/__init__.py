"""What the commands answer, as plain data and in lines: questions about light, meters, catalogues, the installation."""
