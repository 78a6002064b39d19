"""Crew days: the window of an open frame, technicians' hours, and what stands against a booking."""
