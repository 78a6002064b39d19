"""Sillbook: quotes, treatment records, invoices and warranties for borate treatment of new framing."""
