"""The pages of Shop, each in plain Python."""
