"""What is put on paper: pages as plain data, and the one painter that draws them."""
