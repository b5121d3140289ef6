"""The pages of old notes, each in plain Python."""
