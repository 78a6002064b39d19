"""Lots as rows of somebody's own sheet: read, their columns named, each row checked, and given back."""
