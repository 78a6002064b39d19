"""Pages before anybody is known: signing in, joining, a forgotten password; the demo's letters."""
