"""Old notes from a file: columns, dates, names, and what would be made of them."""
