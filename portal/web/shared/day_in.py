"""A day within an address."""

from __future__ import annotations

from datetime import date

from flask import abort


def day_in(text: str) -> date:
    """The day. Raises 404 for what no link of ours says."""
    try:
        return date.fromisoformat(text)
    except ValueError:
        abort(404)
