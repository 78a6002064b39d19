"""What the bank says came: a list with a line for an open invoice, one of the bank's own, and a fee."""

from __future__ import annotations

from datetime import date

from portal.acts import accounts, banking
from portal.acts.parts import Actor, Parts

HEAD = "Booked on,Details,Amount,Balance"


def send_list(parts: Parts, office: Actor, day: date) -> None:
    """The office sends the bank's list of a day and names its columns; its lines are still to be decided."""
    due = [account for account in accounts.accounts(parts, office) if account.asks > 0]
    lines = [HEAD, f"{day},Interest,0.42,5200.42", f"{day},Account fee,-12.00,5188.42"]
    for one in due[:1]:
        invoice = accounts.account(parts, office, one.company_id).owing[-1]
        lines.append(f"{day},WIRE {one.name.upper()} {invoice.number},{invoice.asks},5800.00")
    name, data = f"Account list {day}", "\r\n".join([*lines, ""]).encode()
    found = banking.read(parts, office, name, data, "demo-bank")
    banking.name_columns(parts, office, found, ["day", "text", "amount", ""], "year", "point")
