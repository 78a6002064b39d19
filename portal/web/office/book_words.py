"""Accounts and events of the ledger in the reader's words. Files keep the names that the books use."""

from __future__ import annotations

from typing import Any

from flask_babel import gettext as _
from flask_babel import lazy_gettext

from portal.core.money import ledger
from portal.web.shared.words import METHODS

_ACCOUNTS: dict[str, Any] = {
    ledger.RECEIVABLE: lazy_gettext("Receivable"), ledger.RETAINAGE: lazy_gettext("Retainage held back"),
    ledger.CREDITS: lazy_gettext("Builders’ credits"), ledger.DEPOSITS: lazy_gettext("Deposits"),
    ledger.WRITE_OFFS: lazy_gettext("Written off"),
    ledger.PROMPT: lazy_gettext("Discount for prompt payment"),
    ledger.tax(""): lazy_gettext("Tax by the rate book"),
}  # fmt: skip
_INCOME: dict[str, Any] = {
    "treatment": lazy_gettext("treatment"), "second_coat": lazy_gettext("second coat"),
    "unwrap": lazy_gettext("unwrapping"), "crawl_space": lazy_gettext("crawl space"),
    "call_out": lazy_gettext("call-out"), "minimum": lazy_gettext("minimum charge"),
    "extra": lazy_gettext("extras"), "difference": lazy_gettext("differences found"),
    "interest": lazy_gettext("interest"), "discount": lazy_gettext("discounts given"),
}  # fmt: skip
_EVENTS: dict[str, Any] = {
    "invoiced": lazy_gettext("Invoice"), "received": lazy_gettext("Payment"),
    "applied": lazy_gettext("Credit applied"), "credited": lazy_gettext("Credit note"),
    "bounced": lazy_gettext("Payment bounced"), "refunded": lazy_gettext("Refund"),
    "written off": lazy_gettext("Written off"), "retainage released": lazy_gettext("Retainage released"),
    "prompt payment": lazy_gettext("Discount for prompt payment"),
}  # fmt: skip


def account_words(account: str) -> str:
    """What an account is called on a page."""
    if account in _ACCOUNTS:
        return str(_ACCOUNTS[account])
    head, _colon, own = account.partition(": ")
    if head == "cash":
        return str(_("Cash: %(method)s", method=METHODS.get(own, own)))
    if head == "income":
        return str(_("Income: %(kind)s", kind=_INCOME.get(own, own)))
    return str(_("Tax: %(jurisdiction)s", jurisdiction=own)) if head == "tax" else account


def event_words(event: str) -> str:
    """What happened, as a page says it."""
    return str(_EVENTS.get(event, event))
