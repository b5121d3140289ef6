"""The demo shop: two invented years of work, pressed like any other."""
