"""The technician's pages: my stops, one stop."""
