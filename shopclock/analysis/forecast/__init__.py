"""Work that is left and the next batch, as draws."""
