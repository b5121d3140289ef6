"""What a batch, a piece, an interval is and what may be done with them: the rules, in plain Python."""
