"""The window that holds the screens: which is in sight, its ticks, its status line."""
