"""Rules of the look, measured on the real widgets in every state that is drawn."""
