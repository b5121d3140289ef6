"""Statistics of the whole shop: plain arrays in, frozen results out."""
