"""The big controls that screens share: they draw a state and report presses, and decide nothing."""
