"""Starter routes and route files, their checks, and cure times."""
