"""Whole journeys in a browser, on the application as it is served."""
