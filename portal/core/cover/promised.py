"""The terms of a warranty as the office enters them: read from an edition, and told in sentences.

An edition is flat, one value a field of its page. Editions from before these fields were asked for have
none of them, and promise what their lines say.
"""

from __future__ import annotations

from collections.abc import Mapping
from decimal import Decimal
from typing import Any

from portal.core.documents.parties import Renewal, Terms, Transfer
from portal.core.errors import Problem
from portal.core.fields import Problems, number, whole
from portal.core.money.amount import cents
from portal.core.words import Amount, Said, say

REMEDIES = ("", "retreat", "repair", "none")
SWITCH = ("no", "yes")
TRANSFERS = ("", "always", "times", "never")
MOST_TIMES, MOST_DAYS, MOST_AMOUNT = 20, 730, 1_000_000
LONGEST_EVIDENCE = 500


def problems_of(entered: Mapping[str, Any]) -> Problems:
    """What cannot be used of the fields that are read here."""
    found: Problems = []
    if _of(entered, "remedy") not in REMEDIES:
        found.append(Problem("remedy", say("Choose what the office does under these terms.")))
    if _of(entered, "remedy") == "repair" or _of(entered, "repair_up_to") != "":
        _amount(entered, "repair_up_to", found)
    if _of(entered, "remedy") != "repair" and _of(entered, "repair_up_to") != "":
        says = say("An amount goes with repair only. Choose repair, or leave it empty.")
        found.append(Problem("repair_up_to", says))
    if _renews(entered):
        _problems_of_renewal(entered, found)
    if _of(entered, "transfers") not in TRANSFERS:
        found.append(Problem("transfers", say("Choose how it is handed on.")))
    if _of(entered, "transfers") == "times":
        whole(_of(entered, "transfer_most"), "transfer_most", found, 1, MOST_TIMES)
    _optional(entered, "transfer_days", found, 1, MOST_DAYS)
    if _of(entered, "transfer_fee") != "":
        _amount(entered, "transfer_fee", found)
    if len(str(_of(entered, "transfer_evidence"))) > LONGEST_EVIDENCE:
        says = say("At most {most} characters fit here.", most=LONGEST_EVIDENCE)
        found.append(Problem("transfer_evidence", says))
    return found


def _problems_of_renewal(entered: Mapping[str, Any], found: Problems) -> None:
    if entered.get("years") is None:
        says = say("A term for the life of the structure has no end, so it is not renewed.")
        found.append(Problem("renewals", says))
    whole(_of(entered, "renewals"), "renewals", found, 0, MOST_TIMES)
    whole(_of(entered, "renewal_years"), "renewal_years", found, 1, 100)
    _amount(entered, "renewal_fee", found)
    if _of(entered, "renewal_inspection") not in SWITCH:
        found.append(Problem("renewal_inspection", say("Choose one of the two.")))
    whole(_of(entered, "renewal_days_before"), "renewal_days_before", found, 1, MOST_DAYS)
    whole(_of(entered, "renewal_days_after"), "renewal_days_after", found, 0, MOST_DAYS)


def _of(entered: Mapping[str, Any], key: str) -> Any:
    value = entered.get(key, "")
    return "" if value is None else value


def _renews(entered: Mapping[str, Any]) -> bool:
    return str(_of(entered, "renewals")) not in ("", "0")


def _optional(entered: Mapping[str, Any], key: str, found: Problems, least: int, most: int) -> None:
    if _of(entered, key) != "":
        whole(_of(entered, key), key, found, least, most)


def _amount(entered: Mapping[str, Any], key: str, found: Problems) -> None:
    exact = number(_of(entered, key), key, found, least=0, most=MOST_AMOUNT)
    if exact is not None and (exact * 100).denominator != 1:
        found.append(Problem(key, say("An amount has two places at most.")))


def promised(entered: Mapping[str, Any], currency: str) -> dict[str, Any]:
    """These fields of `Terms`, of an edition that has no problems."""
    repair = _of(entered, "repair_up_to")
    renewal, transfer = _renewal(entered), _transfer(entered)
    return {
        "remedy": _of(entered, "remedy"), "repair_up_to": cents(repair) if repair != "" else None,
        # Terms that name no amount name no currency either.
        "currency": currency if repair != "" or renewal or transfer else "",
        "narrows": tuple(entered.get("narrows", ())), "renewal": renewal, "transfer": transfer,
    }  # fmt: skip


def _renewal(entered: Mapping[str, Any]) -> Renewal | None:
    if not _renews(entered):
        return None
    return Renewal(
        years=int(entered["renewal_years"]), fee=cents(entered["renewal_fee"]),
        inspection=entered["renewal_inspection"] == "yes", days_before=int(entered["renewal_days_before"]),
        days_after=int(entered["renewal_days_after"]), most=int(entered["renewals"]),
    )  # fmt: skip


def _transfer(entered: Mapping[str, Any]) -> Transfer | None:
    allowed, days, fee = (_of(entered, key) for key in ("transfers", "transfer_days", "transfer_fee"))
    if allowed == "":
        return None
    most = {"always": None, "never": 0}[allowed] if allowed != "times" else int(entered["transfer_most"])
    return Transfer(
        most=most, days=int(days) if days != "" else None,
        fee=cents(fee) if fee != "" else Decimal("0.00"), evidence=_of(entered, "transfer_evidence"),
    )  # fmt: skip


def remedy_said(terms: Terms) -> Said | None:
    """What the office does by these terms; None where it stands in their lines alone."""
    if terms.remedy == "retreat":
        return say("The office treats again what these terms cover. It pays for no repair.")
    if terms.remedy == "repair" and terms.repair_up_to is not None:
        up_to = Amount(terms.repair_up_to, terms.currency)
        return say("The office treats again what these terms cover, and repairs it up to {amount}.",
                   amount=up_to)  # fmt: skip
    if terms.remedy == "none":
        return say("This is a record of the treatment. The office promises no treatment and no repair by it.")
    return None


def renewal_said(terms: Terms) -> tuple[Said, ...]:
    """How the term goes on, sentence by sentence."""
    renewal = terms.renewal
    if renewal is None:
        return ()
    fee = Amount(renewal.fee, terms.currency)
    times = (
        say("It can be renewed once, for {years} years, for {fee}.", years=renewal.years, fee=fee)
        if renewal.most == 1 else
        say("It can be renewed, {most} times at most, for {years} years each time, for {fee}.",
            most=renewal.most, years=renewal.years, fee=fee)
    )  # fmt: skip
    asked = say(
        "The office offers it {before} days before the last day; it is to be taken up {after} days after "
        "that day at the latest.",
        before=renewal.days_before, after=renewal.days_after,
    )  # fmt: skip
    looks = (say("Somebody of the office looks at the house first."),) if renewal.inspection else ()
    return (times, asked, *looks)


def transfer_said(terms: Terms) -> tuple[Said, ...]:
    """How it is handed on, sentence by sentence."""
    transfer = terms.transfer
    if transfer is None:
        return ()
    if transfer.most == 0:
        return (say("It stays with the first owner of the house and cannot be handed on."),)
    times = {
        None: say("It can be handed on to each next owner of the house."),
        1: say("It can be handed on once, to the next owner of the house."),
    }.get(transfer.most) or say(
        "It can be handed on to the next owner of the house, {most} times at most.", most=transfer.most
    )
    told = (say("The office is to be told within {days} days of the sale.", days=transfer.days),)
    fee = (say("Handing it on costs {fee}.", fee=Amount(transfer.fee, terms.currency)),)
    seen = (say("The office wants to see: {evidence}", evidence=transfer.evidence),)
    return (
        times, *(told if transfer.days else ()), *(fee if transfer.fee else ()),
        *(seen if transfer.evidence else ()),
    )  # fmt: skip


def kept_terms(terms: Terms) -> tuple[tuple[Said, tuple[Said, ...]], ...]:
    """What terms say beside their own lines: headings with their sentences, none where they say nothing."""
    remedy = remedy_said(terms)
    parts = (
        (say("What the office does"), (remedy,) if remedy else ()),
        (say("Renewed"), renewal_said(terms)),
        (say("Handed on"), transfer_said(terms)),
    )
    return tuple((head, lines) for head, lines in parts if lines)
