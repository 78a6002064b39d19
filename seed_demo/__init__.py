"""The demo: an invented town of builders and houses, and the one command that starts it."""
