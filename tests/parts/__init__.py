"""Costly or shared things that tests ask for by name: servers, a browser, a mailbox."""
