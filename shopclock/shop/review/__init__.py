"""A batch at its end or so far, and the changes of a press, in words."""
