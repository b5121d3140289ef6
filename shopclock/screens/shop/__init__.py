"""What the shop has: patterns and routes, stages, tools, reasons, words, the look, keys."""
