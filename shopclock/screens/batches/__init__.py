"""All batches: where the pieces stand, a new one, its pieces and steps, its close."""
