"""Lengths as people write them, outlines, siding, feet, and the plan as geometry."""
