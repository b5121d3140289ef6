"""What a screen shows, as plain values: buttons, pages, pictures, sizes. No Qt."""
