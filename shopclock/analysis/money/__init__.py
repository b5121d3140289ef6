"""Costs, prices and earnings."""
