"""The manual, read in the window."""
