"""Two sides of one shop joined: the desk's copy and the shop's record."""
