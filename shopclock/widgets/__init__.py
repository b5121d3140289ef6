"""The big controls and charts that screens share, and the theme."""
