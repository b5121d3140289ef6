"""Screen of the shop's own lists: patterns and routes, stages, tools, reasons, words, the look, keys."""
