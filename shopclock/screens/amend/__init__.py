"""Amend: what was recorded of a day, put right afterwards; and what was changed."""
