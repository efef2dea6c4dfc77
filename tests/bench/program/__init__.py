"""The program as from the shell, and a frame in a running one: how long they take."""
