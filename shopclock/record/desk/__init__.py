"""The desk's copy: taken along, looked through, and its presses brought back to those of the shop."""
