"""Joining of benches: the same presses make the same record, whatever order they come in."""
