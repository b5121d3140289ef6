"""The screens: a folder each, its presenter in plain Python, its widget on top."""
