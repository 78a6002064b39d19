"""The one door for amounts, invoice totals, payments, numbers without gaps."""
