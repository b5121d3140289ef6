"""Screens made of pages: a list, one thing of it, and the way back."""
