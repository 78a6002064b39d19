"""Pages, asked for through the application as a browser would ask."""
