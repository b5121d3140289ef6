"""The checks, laid out as the package is: `python3 -m tests` runs them."""
