"""Forgotten stops, power cuts and clocks: what is asked, and what the answers do."""
