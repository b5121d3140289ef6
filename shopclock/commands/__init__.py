"""The commands that need no window."""
