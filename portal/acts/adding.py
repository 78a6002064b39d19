"""Wood that is added to a treated house: asked for by its holder, its builder or the office, and taken on.

What is taken on is a lot of its own, tied to the first: its own walls, quote, record and warranty.
"""

from __future__ import annotations

from dataclasses import astuple, dataclass
from datetime import date, datetime, timedelta
from typing import Any

from portal.acts.covering import warranty_document
from portal.acts.editions import in_force
from portal.acts.lot_state import lot_for
from portal.acts.parts import NOBODY, SYSTEM, Actor, Parts, must_be
from portal.acts.slowing import Door
from portal.acts.texts import check, email_problems, text_problems
from portal.acts.trail import mail, mail_office, note, once
from portal.acts.tying import payer_of, tie
from portal.core.errors import NotFound, Problem, refuse
from portal.core.words import say
from portal.store import additions, lots, owed, warranties
from portal.store.transaction import Work

#: Every one counts: it writes a letter to whatever address it names.
ADDITIONS = Door("addition", free=3, window=timedelta(days=1), first_wait=timedelta(minutes=15))
LONGEST = 4000


@dataclass(frozen=True, slots=True)
class AdditionTyped:
    """What is asked for: what is added, when its frame stands open, and who to answer."""

    words: str
    framed_on: date | None
    name: str
    email: str
    phone: str


@dataclass(frozen=True, slots=True)
class AdditionRow:
    """An addition as the office sees it; `made_lot_id` is the lot it became."""

    id: str
    number: str
    place: str
    warranty: str
    lot_id: str
    asked_by: str
    name: str
    email: str
    phone: str
    words: str
    framed_on: date | None
    made_at: datetime
    state: str
    reason: str
    decided_by: str
    decided_at: datetime | None
    made_lot_id: str | None


def ask_by_link(parts: Parts, token: str, typed: AdditionTyped, address: str, once_key: str) -> str:
    """Ask by the record's link; answers the number. The form sent twice is asked once. Raises `NotFound`."""
    _check(parts, typed)
    with parts.store.reading() as work:
        warranty = warranties.by_link(work, token)
    if warranty is None:
        raise NotFound("warranty")

    def do(work: Work) -> dict[str, Any]:
        subjects = f"from {address}", f"of {warranty.id}"
        ADDITIONS.check(work, *subjects)
        ADDITIONS.add(work, *subjects)
        return {"number": _keep(parts, work, SYSTEM, warranty.id, "holder", typed)}

    return str(once(parts, SYSTEM, f"addition {warranty.id}", once_key, do, list(astuple(typed)))["number"])


def ask_of_lot(parts: Parts, who: Actor, lot_id: str, typed: AdditionTyped, once_key: str) -> str:
    """A builder asks at a treated lot of theirs, or the office for somebody; answers the number."""
    must_be(who, "builder", "office")
    _check(parts, typed)

    def do(work: Work) -> dict[str, Any]:
        warranty = warranties.warranty_of(work, lot_for(work, who, lot_id).id)
        if warranty is None:
            raise refuse("There is no warranty yet: the lot is not treated.")
        return {"number": _keep(parts, work, who, warranty.id, who.kind, typed)}

    return str(once(parts, who, f"addition at {lot_id}", once_key, do, list(astuple(typed)))["number"])


def _check(parts: Parts, typed: AdditionTyped) -> None:
    email, days = typed.email.strip(), []
    if typed.framed_on is not None and typed.framed_on < parts.today():
        days = [Problem("framed_on", say("This day is over: treatment comes while the frame is open."))]
    check(
        text_problems("words", typed.words, LONGEST, say("Write what is added, and where.")), days,
        text_problems("name", typed.name, 200, say("Enter a name.")),
        email_problems(email) if email
        else [Problem("email", say("Enter a mail address: the answer goes there."))],
        text_problems("phone", typed.phone, 40),
    )  # fmt: skip


def _keep(parts: Parts, work: Work, who: Actor, warranty_id: str, asked_by: str, typed: AdditionTyped) -> str:
    warranty, today = warranties.warranty(work, warranty_id), parts.today()
    said = warranty_document(warranty)
    row = additions.add(
        work, number=owed.next_number(work, "AD", today.year), warranty_id=warranty.id, asked_by=asked_by,
        lot_id=warranty.lot_id, name=typed.name.strip(), email=typed.email.strip(), phone=typed.phone.strip(),
        words=typed.words.strip(), framed_on=typed.framed_on,
    )  # fmt: skip
    # The history is kept for good: who asked stands in what was asked only, where it is no builder's.
    by, verb = (who, "addition asked") if who.kind != "system" else (NOBODY, "addition wanted")
    note(work, by, verb, row.number, warranty.lot_id)
    about = {"number": row.number, "place": said.place, "words": row.words, "framed_on": row.framed_on,
             "warranty": warranty.number}  # fmt: skip
    mail(parts, work, "addition_asked", row.email, warranty.lot_id, name=row.name,
         link=parts.links.warranty(warranty.link_token), office=in_force(work, today).office(),
         **about)  # fmt: skip
    mail_office(parts, work, "addition_office", warranty.lot_id, by=row.name,
                link=parts.links.office_addition(row.id), **about)  # fmt: skip
    return str(row.number)


def listed(parts: Parts, who: Actor, *, decided: bool = False) -> list[AdditionRow]:
    """Those asked for, oldest first; or those decided, the newest first."""
    must_be(who, "office")
    with parts.store.reading() as work:
        return [_row(row, warranty) for row, warranty in additions.listed(work, decided=decided)]


def count_asked(parts: Parts, who: Actor) -> int:
    """How many wait for the office."""
    must_be(who, "office")
    with parts.store.reading() as work:
        return additions.count_asked(work)


def addition(parts: Parts, who: Actor, addition_id: str) -> AdditionRow:
    """One of them. Raises `NotFound`."""
    must_be(who, "office")
    with parts.store.reading() as work:
        row = additions.addition(work, addition_id)
        return _row(row, warranties.warranty(work, row.warranty_id))


def _row(row: Any, warranty: Any) -> AdditionRow:
    place = warranty_document(warranty).place
    own = {name: getattr(row, name) for name in AdditionRow.__dataclass_fields__ if hasattr(row, name)}
    return AdditionRow(
        **own, place=f"{place.address}, {place.city_line}", warranty=warranty.number
    )  # fmt: skip


def take_on(parts: Parts, who: Actor, addition_id: str, once_key: str) -> str:
    """Take an addition on: a lot tied to the first, to be measured and quoted; answers its id.

    It is the builder's where the builder asked or no holder is on record, else the holder's own.
    """
    must_be(who, "office")

    def do(work: Work) -> dict[str, Any]:
        first = lots.locked(work, additions.addition(work, addition_id).lot_id)
        row = _asked(work, addition_id)
        warranty = warranties.warranty(work, row.warranty_id)
        company = first.company if row.asked_by == "builder" else payer_of(work, who, warranty, first)
        lot = tie(parts, work, who, first, company, "addition", row.number)
        row.state, row.made_lot_id = "taken on", lot.id
        _decided(parts, work, who, row, warranty, "")
        return {"lot": lot.id}

    return str(once(parts, who, f"take on {addition_id}", once_key, do)["lot"])


def decline(parts: Parts, who: Actor, addition_id: str, reason: str, once_key: str) -> None:
    """Decline to treat it, with a reason that whoever asked reads."""
    must_be(who, "office")
    check(text_problems("reason", reason, 1000, say("Give the reason: whoever asked reads it.")))

    def do(work: Work) -> dict[str, Any]:
        row = _asked(work, addition_id)
        row.state, row.reason = "declined", reason.strip()
        _decided(parts, work, who, row, warranties.warranty(work, row.warranty_id), row.reason)
        return {}

    once(parts, who, f"decline {addition_id}", once_key, do, reason)


def _asked(work: Work, addition_id: str) -> Any:
    row = additions.addition(work, addition_id, held=True)
    if row.state != "asked":
        raise refuse("It is {state} already.", state=row.state)
    return row


def _decided(parts: Parts, work: Work, who: Actor, row: Any, warranty: Any, reason: str) -> None:
    row.decided_by, row.decided_at = who.name, work.now
    note(work, who, f"addition {row.state}", row.number, row.lot_id)
    said = warranty_document(warranty)
    mail(parts, work, "addition_decided", row.email, row.lot_id, name=row.name, number=row.number,
         place=said.place, taken_on=row.state == "taken on", reason=reason, warranty=warranty.number,
         office=in_force(work, parts.today()).office(),
         link=parts.links.warranty(warranty.link_token))  # fmt: skip
