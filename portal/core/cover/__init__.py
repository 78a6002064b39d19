"""Warranty terms and numbers with check digits."""
