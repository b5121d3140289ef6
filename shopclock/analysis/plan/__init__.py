"""Dates: open batches and orders through the shop's hours, promises, what would change them."""
