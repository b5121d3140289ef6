"""Is it getting faster: fits, trends, comparisons, one stage at a time."""
