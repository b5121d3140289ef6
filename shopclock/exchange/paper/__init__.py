"""Paper: pages as plain data."""
