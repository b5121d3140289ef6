"""The pages of Amend, one a file."""
