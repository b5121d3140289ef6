"""Rules of the shop, in plain Python: what a batch, a piece, an interval is and what may be done with them."""
