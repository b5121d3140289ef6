"""Today: what to do with the time there is."""
