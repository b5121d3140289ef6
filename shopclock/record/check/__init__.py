"""Soundness: everything worked out anew, and the journal rebuilt."""
