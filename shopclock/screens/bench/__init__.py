"""The Bench: what runs, what is ready, and the few presses that time a batch."""
