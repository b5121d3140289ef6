"""Work that is ready, what to do today, and orders."""
