"""The first time: the demo shop, or a shop of one's own."""
