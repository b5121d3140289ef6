"""Plain values of what a screen shows: buttons, pages, pictures, sizes. No Qt."""
