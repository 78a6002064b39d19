"""States, siding and papers in the reader's words: whatever the store keeps as a key is shown through here.

Each table maps a key to its words and to the mark it is drawn with (needs, waits, done, stopped).
A stage is marked by whose hand it waits for, so a builder and the office read different marks.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from flask_babel import lazy_gettext as _

from portal.core.documents.pages import SUBJECTS
from portal.core.journey import MONEY_APART

Words = dict[str, Any]

STAGES: Words = {
    "asked": _("asked"), "to check": _("to check"), "approved": _("approved"), "sent": _("sent"),
    "declined": _("declined"), "lapsed": _("lapsed"), "accepted": _("accepted"), "booked": _("booked"),
    "on site": _("on site"), "treated": _("treated"), "part paid": _("part paid"), "paid": _("paid"),
    "in force": _("in force"), "expired": _("expired"), "void": _("void"), MONEY_APART: _("treated"),
}  # fmt: skip

#: What the office still works on is one thing to a builder: with the office.
STAGES_OF_BUILDER: Words = STAGES | {
    "asked": _("with the office"), "to check": _("with the office"), "approved": _("with the office"),
    "sent": _("to answer"), "accepted": _("to be booked"), "treated": _("to pay"),
}  # fmt: skip

NEEDS_OFFICE = frozenset({"asked", "to check", "approved", "declined", "accepted"})
NEEDS_BUILDER = frozenset({"sent", "treated", "part paid"})
BEHIND = frozenset({"paid", "in force", MONEY_APART})
STOPPED = frozenset({"declined", "lapsed", "expired", "void"})

QUOTES: Words = {
    "to check": _("to check"), "approved": _("approved"), "sent": _("sent"), "accepted": _("accepted"),
    "declined": _("declined"), "lapsed": _("lapsed"), "superseded": _("superseded"),
}  # fmt: skip
JOBS: Words = {
    "unscheduled": _("to be booked"), "booked": _("booked"), "on site": _("on site"), "treated": _("treated"),
    "signed off": _("signed off"), "called off": _("called off"),
}  # fmt: skip
INVOICES: Words = {
    "issued": _("issued"), "part paid": _("part paid"), "paid": _("paid"), "credited": _("credited"),
    "written off": _("written off"),
    "overdue": _("overdue"),
}  # fmt: skip
WARRANTIES: Words = {
    "held": _("held, not yet in force"), "in force": _("in force"), "expired": _("expired"),
    "void": _("void"),
}  # fmt: skip
SIDING: Words = {"open": _("open"), "wrapped": _("wrapped"), "sided": _("siding on")}
#: Why a booking is moved or called off; the order is the core's.
WHY: Words = {
    "weather": _("the weather"), "not ready": _("the house is not ready"),
    "builder": _("the builder asked for it"), "crew": _("crew or equipment is held up"),
    "other": _("something else, in words"),
}  # fmt: skip
#: Why a lot is tied to another.
TIES: Words = {"retreatment": _("treated again under its warranty"), "addition": _("wood added to it")}
FOUNDATIONS: Words = {
    "slab": _("slab"), "basement": _("basement"), "crawl space": _("crawl space"),
    "other": _("something else"),
}  # fmt: skip
METHODS: Words = {
    "check": _("check"),
    "bank transfer": _("bank transfer"),
    "cash": _("cash"),
    "other": _("another way"),
}
PAPERS: Words = {
    "quote": _("Quote"), "acceptance": _("Acceptance"), "field-sheet": _("Field sheet"),
    "treatment-record": _("Treatment record"), "posted-notice": _("Posted notice"),
    "building-statement": _("Statement of treatment"), "service-figures": _("Service figures"),
    "invoice": _("Invoice"),
    "certificate": _("Warranty certificate"), "package": _("Package"), "statement": _("Statement"),
}  # fmt: skip
#: What somebody of a builder's may do beyond asking and looking: in a list, and where it is given.
RIGHTS: Words = {
    "accept": _("answers quotes"), "money": _("sees money"), "people": _("changes people"),
}  # fmt: skip
#: Kinds of letters, and when one comes.
MAILS: Words = {
    "quotes": (_("Quotes"), _("A quote or a package of quotes was sent, or a purchaser answered one.")),
    "reminders": (_("Reminders"), _("A quote is about to lapse, or has lapsed.")),
    "days": (_("Booked days"), _("A treatment was booked, moved or called off.")),
    "treated": (_("Treatments"), _("A lot is treated and its record is ready.")),
    "money": (_("Invoices"),
              _("An invoice was issued or is to be paid, a statement was sent, a payment did not hold. Where "
                "all of you who see money turn these off, all are reminded all the same.")),
    "certificates": (_("Certificates"), _("A warranty came into force.")),
}  # fmt: skip
SHEETS: Words = {
    "takeoff": _("Takeoff"), "quote": _("Quote"), "treatment": _("Treatment"), "invoice": _("Invoice"),
    "warranty": _("Warranty"),
}  # fmt: skip

MARKS = {
    "to check": "needs", "approved": "needs", "sent": "waits", "accepted": "done", "declined": "stopped",
    "lapsed": "stopped", "superseded": "stopped", "unscheduled": "needs", "booked": "waits",
    "on site": "waits", "treated": "needs", "signed off": "done", "called off": "stopped",
    "issued": "waits", "part paid": "waits", "paid": "done", "credited": "stopped",
    "written off": "stopped", "overdue": "needs",
    "held": "waits", "in force": "done", "expired": "stopped", "void": "stopped",
}  # fmt: skip


def stage_words(stage: str, viewer: str = "office") -> Any:
    """A lot's stage, as a builder or the office calls it."""
    return (STAGES_OF_BUILDER if viewer == "builder" else STAGES)[stage]


def stage_mark(stage: str, viewer: str = "office") -> str:
    """The mark of a stage: whether it needs this viewer's hand, waits for somebody else, or is over."""
    if stage in (NEEDS_BUILDER if viewer == "builder" else NEEDS_OFFICE):
        return "needs"
    if stage in BEHIND:
        return "done"
    return "stopped" if stage in STOPPED else "waits"


def mark(state: str, viewer: str = "office") -> str:
    """The mark of a quote's, job's, invoice's or warranty's state; few of them need a builder's hand."""
    if viewer == "builder" and MARKS[state] == "needs":
        return {"overdue": "needs", "treated": "done"}.get(state, "waits")
    return "needs" if viewer == "builder" and state == "sent" else MARKS[state]


def _lookup(table: Words) -> Callable[[str], Any]:
    return lambda key: table[key]


TROUBLE = {
    "reported": _("to be answered"), "answered": _("inspection to be booked"), "booked": _("to be inspected"),
    "found": _("to be decided"), "decided": _("decided"), "done": _("to be closed"), "closed": _("closed"),
}  # fmt: skip
TRANSFERS = {
    "office": _("Waits for the office"), "open": _("Waits for the next owner"), "accepted": _("Handed on"),
    "declined": _("Declined"), "withdrawn": _("Taken back"),
}  # fmt: skip
ADDITIONS = {
    "asked": _("Waits for the office"), "taken on": _("Taken on"), "declined": _("Declined"),
}  # fmt: skip
RENEWALS = {
    "offered": _("Offered"), "accepted": _("To be looked at"), "looked at": _("To be paid"),
    "renewed": _("Renewed"), "declined": _("Left"), "failed": _("Not renewed"),
    "lapsed": _("Not taken up"), "not paid": _("Not paid"), "void": _("Void"),
}  # fmt: skip
RENEWAL_MARKS = {
    "offered": "waits", "accepted": "needs", "looked at": "waits", "renewed": "done", "declined": "stopped",
    "failed": "stopped", "lapsed": "stopped", "not paid": "stopped", "void": "stopped",
}  # fmt: skip
FEES = {"owed": _("owed"), "paid": _("paid"), "waived": _("waived")}


def filters() -> dict[str, Callable[..., Any]]:
    """The tables as template filters: lot.stage | stage_words('builder'), wall.status | siding."""
    return {
        "stage_words": stage_words, "stage_mark": stage_mark, "mark": mark, "quote_words": _lookup(QUOTES),
        "job_words": _lookup(JOBS), "invoice_words": _lookup(INVOICES), "warranty_words": _lookup(WARRANTIES),
        "siding": _lookup(SIDING), "foundation": _lookup(FOUNDATIONS), "method": _lookup(METHODS),
        "paper_words": _lookup(PAPERS), "sheet_words": _lookup(SHEETS), "right_words": _lookup(RIGHTS),
        "mail_words": _lookup(MAILS), "page_subject": _lookup(SUBJECTS),
        "transfer_words": _lookup(TRANSFERS), "fee_words": _lookup(FEES),
        "addition_words": _lookup(ADDITIONS), "renewal_words": _lookup(RENEWALS),
        "renewal_mark": _lookup(RENEWAL_MARKS), "trouble_words": _lookup(TROUBLE),
    }  # fmt: skip
