"""What is left to do and what the next batch takes, as draws."""
