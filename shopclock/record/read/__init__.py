"""Reading: the floor, rows for figures and sheets, history."""
