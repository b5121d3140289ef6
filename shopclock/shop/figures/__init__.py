"""Labour, shares, and the figures of a batch and its stages."""
