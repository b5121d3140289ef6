"""Shopclock: times batches at the bench and tells what a piece really costs in minutes."""

__version__ = "0.1.0"
