"""Plain values, units, clock, money: what the rules are written in."""
