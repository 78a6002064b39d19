"""Many papers in one file: the names they get, and the ZIP they go into."""
