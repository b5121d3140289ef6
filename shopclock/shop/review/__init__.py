"""What a batch tells at its end or so far, and what a press changed, in words."""
