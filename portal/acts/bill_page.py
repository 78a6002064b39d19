"""What is about to be billed, before it is: dry runs by the functions that issue the real thing."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from typing import Any

from portal.acts.drafting import (
    as_known,
    billed_by_package,
    draft_invoice,
    draft_package,
    unbilled_in,
    untreated_in,
)
from portal.acts.issuing import frozen, issue, seen_of
from portal.acts.money_told import tell_invoice
from portal.acts.papers import PaperFile
from portal.acts.parts import Actor, Parts, must_be
from portal.acts.settling import settle
from portal.acts.trail import once
from portal.core.documents import InvoiceDocument
from portal.core.errors import refuse
from portal.store import billing, jobs, lots, packages
from portal.store.transaction import Work

#: Booked lots that are listed: the next days, not a year of them.
MOST_BOOKED = 30


@dataclass(frozen=True, slots=True)
class PackageToBill:
    """A package with lots that are treated and not billed. `untreated`: how many are still to be."""

    id: str
    number: str
    name: str
    treated: int
    untreated: int
    total: Decimal
    currency: str


@dataclass(frozen=True, slots=True)
class LotToBill:
    """A booked lot, and what its mark would bill with the siding as it is known now."""

    id: str
    lot: str
    company: str
    day: date | None
    quoted: Decimal
    total: Decimal
    currency: str
    by_package: bool


@dataclass(frozen=True, slots=True)
class InvoiceToBill:
    """An invoice that was credited whole, and could be billed anew."""

    id: str
    number: str
    lot: str
    total: Decimal


@dataclass(frozen=True, slots=True)
class BillPage:
    """Everything that is about to be billed."""

    packages: tuple[PackageToBill, ...]
    booked: tuple[LotToBill, ...]
    credited: tuple[InvoiceToBill, ...]


def to_bill(parts: Parts, who: Actor) -> BillPage:
    """What is about to be billed."""
    must_be(who, "office")
    with parts.store.reading() as work:
        found = [_package(parts, work, row) for row in billing.unbilled_packages(work)]
        return BillPage(
            tuple(one for one in found if one is not None),
            tuple(_booked(parts, work, job) for job in billing.booked(work, MOST_BOOKED)),
            tuple(
                InvoiceToBill(row.id, row.number, lots.lot(work, row.lot_id).name, row.total)
                for row in billing.credited_unbilled(work)
            ),
        )


def _package(parts: Parts, work: Work, row: Any) -> PackageToBill | None:
    billed = unbilled_in(parts, work, row.id)
    if not billed:
        return None
    offers = [one.part.owed for one in billed]
    total = sum((offer.total for offer in offers), Decimal("0.00"))
    return PackageToBill(row.id, row.number, row.name, len(billed), len(untreated_in(work, row.id)), total,
                         offers[0].currency)  # fmt: skip


def _found(job: Any) -> dict[str, str]:
    """The siding as the technician has entered it so far, by wall."""
    entered: dict[str, Any] = job.entry or {}
    known = ("open", "wrapped", "sided")
    return {at.removeprefix("found."): str(said) for at, said in entered.items()
            if at.startswith("found.") and said in known}  # fmt: skip


def _booked(parts: Parts, work: Work, job: Any) -> LotToBill:
    one = as_known(parts, work, job, _found(job))
    return LotToBill(
        job.lot.id, job.lot.name, job.lot.company.name, job.day, one.quote.offer.total, one.part.owed.total,
        one.part.owed.currency, billed_by_package(job.lot, one.quote),
    )  # fmt: skip


def look_at_package(parts: Parts, who: Actor, package_id: str) -> InvoiceDocument:
    """A dry run of a package's invoice, of its lots that are treated. Raises `Refused` without any."""
    must_be(who, "office")
    with parts.store.reading() as work:
        packages.package(work, package_id)
        return frozen(work, draft_package(parts, work, package_id), "")


def draft_paper(parts: Parts, who: Actor, package_id: str) -> PaperFile:
    """The same as a paper, marked a draft: it has no number and is not kept."""
    document = look_at_package(parts, who, package_id)
    return PaperFile("draft.pdf", parts.papers.make("invoice", document, {"draft": True}))


def look_at_lot(parts: Parts, who: Actor, lot_id: str) -> InvoiceDocument:
    """A dry run of what the mark of a booked lot would bill, with the siding as it is known now."""
    must_be(who, "office")
    with parts.store.reading() as work:
        job = jobs.job_of(work, lots.lot(work, lot_id).id)
        if job is None or job.state not in ("unscheduled", "booked", "on site"):
            raise refuse("This lot does not wait for its treatment, so nothing is about to be billed for it.")
        return frozen(work, draft_invoice(parts, work, (as_known(parts, work, job, _found(job)),)), "")


def bill_package(parts: Parts, who: Actor, package_id: str, seen: str, once_key: str) -> str:
    """Bill what is treated of a package, as it was `seen` in the dry run; answers the invoice's id."""
    must_be(who, "office")

    def do(work: Work) -> dict[str, Any]:
        packages.package(work, package_id)
        packages.locked_lots(work, [lot.id for lot in packages.lots_in(work, package_id)])
        draft = draft_package(parts, work, package_id)
        if seen != seen_of(frozen(work, draft, "")):
            raise refuse("This changed since it was shown: look at it as it is now, and bill that.")
        invoice = issue(parts, work, who, draft)
        tell_invoice(parts, work, invoice)
        settle(parts, work, who, invoice)
        return {"invoice": invoice.id}

    return str(once(parts, who, f"bill {package_id}", once_key, do, {"seen": seen})["invoice"])
