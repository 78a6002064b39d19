"""Rate book figures, quote lines, the siding clause."""
