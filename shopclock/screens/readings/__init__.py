"""Readings and pairs of scales, wherever they are pressed: at the bench, at a piece, in the shop's list."""
