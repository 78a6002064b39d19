"""A builder's pages: lots, asking, the sheets, papers."""
