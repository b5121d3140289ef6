"""The record while its window is open: one press as one transaction, and watching the clock."""
