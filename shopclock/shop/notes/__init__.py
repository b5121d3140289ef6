"""Old notes as batches, pieces and intervals."""
