"""Start of the program up to its first screen, and its end."""
