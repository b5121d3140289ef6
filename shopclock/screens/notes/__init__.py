"""Old notes in the window: a file chosen, what is asked of it, what would be made, and bringing it in."""
