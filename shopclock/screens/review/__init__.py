"""Review: one batch, where its minutes went, its days, its pieces, beside another."""
