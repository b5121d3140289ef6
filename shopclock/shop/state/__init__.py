"""The shop in memory: its floor, one press as a transaction, settings, and how things are said."""
