"""The pages of Batches, each in plain Python."""
