"""A purchaser's page: one quote through a mailed link, without an account."""
