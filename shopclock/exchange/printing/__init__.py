"""Pages onto paper and into PDF files, by Qt."""
