"""Figures from the record: minutes, learning, signals, forecast, cost."""
