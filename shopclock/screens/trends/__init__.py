"""Trends: is a stage getting faster. One stage at a time, batch by batch, methods apart."""
