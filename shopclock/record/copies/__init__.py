"""Copies of the record, bringing one back, the open archive."""
