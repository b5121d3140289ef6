"""A walk through every screen, drawn to pictures with no screen needed."""
