"""The homeowner's pages: finding a warranty, reading it. No account."""
