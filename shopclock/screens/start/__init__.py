"""From the start of the program to its first screen, and its end."""
