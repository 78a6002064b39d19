"""What a builder paid, what each payment pays, and what it has to its credit."""

from __future__ import annotations

from portal.acts import accounts
from portal.web.security import parts, who
from portal.web.shared.pages import page


def payments() -> str:
    """The builder's own account."""
    return page("builder/payments.html", account=accounts.own_account(parts(), who()), today=parts().today())
