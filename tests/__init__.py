"""The tests, in rooms that mirror the portal's; `python3 -m tests` runs them from a bare Python."""
