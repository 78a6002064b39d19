"""Billing terms as the office enters them: read from an edition of the firm or a builder's own, and told.

Flat, one value a field. Editions from before these fields were asked for have none of them but the days.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from decimal import Decimal
from typing import Any

from portal.core.errors import Problem
from portal.core.fields import Problems, number, whole
from portal.core.money.amount import cents
from portal.core.money.terms import RUNS_FROM, STAGES, BillingTerms
from portal.core.words import Amount, Said, say

FIELDS = (
    "net_days", "due_from", "prompt_percent", "prompt_days", "deposit_percent", "bill_per",
    "retained_percent", "retained_most",
)  # fmt: skip
#: As much as may be held back where the firm says nothing else: FAR 32.103 names 10 percent as the most.
USUAL_LIMIT = 10
#: Numbers of invoices begin with this where the firm says nothing else.
USUAL_PREFIX = "INV"
#: Series of other papers: an invoice in one of them would have another paper's number.
TAKEN = ("A", "C", "CN", "F", "J", "P", "Q", "R", "RC", "RR", "STM", "TR", "W")
MOST_DAYS, MOST_AMOUNT = 365, 1_000_000


def read_terms(entered: Mapping[str, Any]) -> BillingTerms:
    """The terms of an edition that has no problems."""
    most = _of(entered, "retained_most")
    return BillingTerms(
        days=int(entered["net_days"]), runs_from=_of(entered, "due_from") or RUNS_FROM[0],
        prompt_percent=_percent(entered, "prompt_percent"), prompt_days=int(_of(entered, "prompt_days") or 0),
        deposit_percent=_percent(entered, "deposit_percent"), per=_of(entered, "bill_per") or STAGES[0],
        retained_percent=_percent(entered, "retained_percent"),
        retained_most=cents(str(most)) if most != "" else None,
    )  # fmt: skip


def limit_of(firm: Mapping[str, Any]) -> Decimal:
    """How many percent may be held back at most."""
    entered = _of(firm, "retained_limit")
    return Decimal(str(entered)) if entered != "" else Decimal(USUAL_LIMIT)


def prefix_of(firm: Mapping[str, Any]) -> str:
    """What the numbers of invoices begin with."""
    return str(_of(firm, "invoice_prefix") or USUAL_PREFIX)


def problems_of(entered: Mapping[str, Any], limit: Decimal) -> Problems:
    """What cannot be used of a builder's terms; `limit` is how many percent may be held back at most."""
    found: Problems = []
    whole(_of(entered, "net_days"), "net_days", found, 0, MOST_DAYS)
    if _of(entered, "due_from") not in ("", *RUNS_FROM):
        found.append(Problem("due_from", say("Choose from when the days run.")))
    if _of(entered, "bill_per") not in ("", *STAGES):
        found.append(Problem("bill_per", say("Choose for what there is an invoice.")))
    _percentage(entered, "deposit_percent", found, 100)
    _of_prompt(entered, found)
    _of_retainage(entered, found, limit)
    return found


def _of_prompt(entered: Mapping[str, Any], found: Problems) -> None:
    off = _percentage(entered, "prompt_percent", found, 20)
    if not off:
        if _of(entered, "prompt_days") not in ("", 0, "0"):
            says = say("Days go with a percentage only. Enter one, or leave the days empty.")
            found.append(Problem("prompt_days", says))
        return
    within = whole(_of(entered, "prompt_days"), "prompt_days", found, 1, MOST_DAYS)
    days = str(_of(entered, "net_days"))
    from_issue = _of(entered, "due_from") in ("", "issue")
    if within is not None and days.isdecimal() and from_issue and within > int(days):
        says = say("The invoice is due after {days} days: paying soon is earlier than that.", days=days)
        found.append(Problem("prompt_days", says))


def _of_retainage(entered: Mapping[str, Any], found: Problems, limit: Decimal) -> None:
    held = _percentage(entered, "retained_percent", found, 100)
    if held is not None and held > limit:
        says = say("{limit} percent may be held back at most, by the firm’s edition.", limit=f"{limit:f}")
        found.append(Problem("retained_percent", says))
    if _of(entered, "retained_most") != "":
        exact = number(_of(entered, "retained_most"), "retained_most", found, least=0, most=MOST_AMOUNT)
        if exact is not None and (exact * 100).denominator != 1:
            found.append(Problem("retained_most", say("An amount has two places at most.")))


def problems_of_firm(firm: Mapping[str, Any]) -> Problems:
    """The same of the firm's edition, with its own limit and prefix."""
    found: Problems = []
    _percentage(firm, "retained_limit", found, 100)
    prefix = _of(firm, "invoice_prefix")
    if prefix != "" and not re.fullmatch("[A-Z][A-Z0-9]{0,7}", str(prefix)):
        says = say("One to eight capital letters and digits, the first a letter.")
        found.append(Problem("invoice_prefix", says))
    elif prefix in TAKEN:
        says = say("Other papers are numbered {prefix} already. Choose another.", prefix=prefix)
        found.append(Problem("invoice_prefix", says))
    return found or problems_of(firm, limit_of(firm))


def _of(entered: Mapping[str, Any], key: str) -> Any:
    value = entered.get(key, "")
    return "" if value is None else value


def _percent(entered: Mapping[str, Any], key: str) -> Decimal:
    return Decimal(str(_of(entered, key) or 0))


def _percentage(entered: Mapping[str, Any], key: str, found: Problems, most: int) -> Decimal | None:
    typed = _of(entered, key)
    if typed == "":
        return Decimal(0)
    exact = number(typed, key, found, least=0, most=most)
    if exact is None:
        return None
    if (exact * 10_000).denominator != 1:
        found.append(Problem(key, say("A percentage has four places at most.")))
        return None
    return Decimal(str(typed))


def billing_said(terms: BillingTerms, currency: str) -> tuple[Said, ...]:
    """The terms in sentences, in the order in which they come to bear."""
    return tuple(said for said in (
        _deposit(terms), _stage(terms), _due(terms), _prompt(terms), _retained(terms, currency)
    ) if said is not None)  # fmt: skip


def _deposit(terms: BillingTerms) -> Said | None:
    if not terms.deposit_percent:
        return None
    return say(
        "A deposit of {percent} percent of this price is asked for once the quote is accepted, and comes off "
        "the invoice. The deposit is asked for without tax: the invoice has all of it.",
        percent=_plain(terms.deposit_percent),
    )


def _stage(terms: BillingTerms) -> Said:
    if terms.per == "package":
        return say(
            "Lots of a package are billed together: one invoice once all that were accepted are treated, or "
            "earlier for those that are. A lot by itself is billed on the day it is treated."
        )
    return say("The invoice comes on the day the lot is treated.")


def _due(terms: BillingTerms) -> Said:
    if terms.runs_from == "month end":
        if not terms.days:
            return say("It is due at the end of the month it is of.")
        return say("It is due {days} days after the end of the month it is of.", days=terms.days)
    if not terms.days:
        return say("It is due on the day it is of.")
    return say("It is due {days} days after its day.", days=terms.days)


def _prompt(terms: BillingTerms) -> Said | None:
    if not terms.has_prompt:
        return None
    return say(
        "Paid within {days} days of its day, {percent} percent comes off what it asks for.",
        days=terms.prompt_days, percent=_plain(terms.prompt_percent),
    )  # fmt: skip


def _retained(terms: BillingTerms, currency: str) -> Said | None:
    if not terms.retained_percent:
        return None
    percent = _plain(terms.retained_percent)
    if terms.retained_most is None:
        return say("{percent} percent of it is held back until the office releases it.", percent=percent)
    return say(
        "{percent} percent of it, {most} at most, is held back until the office releases it.",
        percent=percent, most=Amount(terms.retained_most, currency),
    )  # fmt: skip


def _plain(percent: Decimal) -> str:
    return f"{percent.normalize():f}"
