"""Orders, and whether a promise would hold."""
