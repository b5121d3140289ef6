"""The pages of Review."""
