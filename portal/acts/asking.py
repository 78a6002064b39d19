"""A builder asks for a price for a lot, changes what was asked, and asks again."""

from __future__ import annotations

from dataclasses import asdict, dataclass, replace
from datetime import date
from fractions import Fraction
from typing import Any

from portal.acts.estimating import Figures, figures_today
from portal.acts.frame_days import frame_days, tell_frame_days
from portal.acts.lot_state import lot_name, lot_to_change, restage, speaking_revision
from portal.acts.offering import back_to_check, next_revision
from portal.acts.parts import Actor, Parts, must_be
from portal.acts.same_lot import refuse_same
from portal.acts.siting import Sites
from portal.acts.texts import MISSING, text_problems
from portal.acts.trail import mail_office, note, once
from portal.core.errors import BadInput, Problem, refuse
from portal.core.pricing.site import Site
from portal.core.words import say
from portal.store import lots, plans
from portal.store.tables import Lot
from portal.store.transaction import Work

FOUNDATIONS = ("slab", "basement", "crawl space", "other")


@dataclass(frozen=True, slots=True)
class LotAsked:
    """What a builder enters for a lot. `house` is a house document; days are calendar days."""

    name: str
    subdivision: str
    house_number: str
    street: str
    town: str
    state: str
    postal_code: str
    foundation: str
    siding_starts: date | None
    insulation_starts: date | None
    notes: str
    house: dict[str, Any]
    framing_done: date | None = None


#: Longest text of each field, and whether it must be there.
TEXTS = {
    "name": (200, True), "subdivision": (200, False), "house_number": (20, True), "street": (200, True),
    "town": (100, True), "state": (40, True), "postal_code": (20, True), "notes": (4000, False),
}  # fmt: skip


def check(asked: LotAsked) -> None:
    """Whether the lot beside its house can be asked for. Raises `BadInput` with all that is wrong."""
    problems: list[Problem] = []
    for field, (longest, needed) in TEXTS.items():
        value = getattr(asked, field)
        problems += text_problems(field, value, longest, MISSING if needed else None)
    if asked.house_number and not any(c.isalnum() for c in asked.house_number):
        problems.append(Problem("house_number", say("A house number has a digit or a letter.")))
    if asked.foundation not in FOUNDATIONS:
        problems.append(Problem("foundation", say("Choose what the house stands on.")))
    if problems:
        raise BadInput(problems)


def ask(
    parts: Parts, who: Actor, asked: LotAsked, once_key: str,
    plan_edition_id: str | None = None, *, mirrored: bool = False,
) -> str:  # fmt: skip
    """Ask for a price for a new lot; answers the lot's id. Raises `BadInput`."""
    must_be(who, "builder")
    check(asked)

    def do(work: Work) -> dict[str, Any]:
        return {"lot": ask_in(parts, work, who, asked, plan_edition_id, mirrored=mirrored).id}

    said = asdict(asked) | {"plan_edition_id": plan_edition_id, "mirrored": mirrored}
    return str(once(parts, who, "ask", once_key, do, said)["lot"])


def ask_in(
    parts: Parts, work: Work, who: Actor, asked: LotAsked,
    plan_edition_id: str | None = None, *, mirrored: bool = False, letter: bool = True,
    worked: Figures | None = None, judged: bool = False,
) -> Any:  # fmt: skip
    """Ask within another act's transaction; answers the lot. Without `letter` the office is told elsewhere.

    `judged` is whether it is known already that no such lot is here: a list asks for many lots at once.
    `worked` are the house's figures by today's editions, where they are worked out already.

    `plan_edition_id` is the edition of a house plan that the house was filled from, `mirrored` whether it
    was flipped. Raises `BadInput`, `SameLot` where the lot is here already, and `NotFound` for an edition
    that is not this builder's.
    """
    must_be(who, "builder")
    check(asked)
    assert who.company_id and who.person_id
    if not judged:
        refuse_same(work, who.company_id, asked)
    result = worked or figures_today(parts, work, asked.house, _site(parts, work, who.company_id, asked))
    if plan_edition_id is not None:
        plans.edition_of_company(work, who.company_id, plan_edition_id)
    lot_id = work.new_id()
    lot = Lot(
        id=lot_id, company_id=who.company_id, created_by=who.person_id, created_at=work.now,
        changed_at=lots.moment_of(work, lot_id), stage="asked", feet="", price="", version=1,
        plan_edition_id=plan_edition_id, mirrored=mirrored and plan_edition_id is not None,
        **_fields(work, who.company_id, asked),
    )  # fmt: skip
    work.add(lot)
    lots.add_takeoff(work, lot.id, asked.house, result.answer, who.name)
    _show(lot, result.answer)
    note(work, who, "asked", lot.name, lot.id)
    if letter:
        mail_office(
            parts, work, "asked", lot.id, company=who.company, lot=lot_name(lot), feet=lot.feet, by=who.name,
            link=parts.links.office_lot(lot.id),
        )  # fmt: skip
    return lot


def _site(parts: Parts, work: Work, company_id: str, asked: LotAsked) -> Site:
    return Sites(work, company_id, parts.today()).asked(
        asked.foundation, asked.subdivision, asked.state, asked.town
    )


def _worked(parts: Parts, work: Work, lot: Any, asked: LotAsked) -> Figures:
    """The figures of a lot as it is asked for now; one in no subdivision keeps its own miles."""
    site = _site(parts, work, lot.company_id, asked)
    if not asked.subdivision.strip() and lot.subdivision is None and lot.miles:
        site = replace(site, miles=Fraction(lot.miles))
    return figures_today(parts, work, asked.house, site)


def _fields(work: Work, company_id: str, asked: LotAsked) -> dict[str, Any]:
    named = asked.subdivision.strip()
    subdivision = lots.subdivision_named(work, company_id, named) if named else None
    kept = {field: getattr(asked, field) for field in TEXTS if field != "subdivision"}
    return kept | {
        "subdivision_id": subdivision.id if subdivision else None, "foundation": asked.foundation,
        "framing_done": asked.framing_done, "siding_starts": asked.siding_starts,
        "insulation_starts": asked.insulation_starts,
    }  # fmt: skip


def _show(lot: Any, answer: dict[str, Any]) -> None:
    """What a list of lots shows of the estimate."""
    lot.feet = answer["feet"]["total"]
    lot.price = answer["price"]["total"]


def change(parts: Parts, who: Actor, lot_id: str, version: int, asked: LotAsked) -> None:
    """Change what was asked, or correct it in the office, while nothing of it is sent.

    An approved quote goes back to be checked, because what was approved is no longer what it says.
    """
    must_be(who, "builder", "office")
    check(asked)
    with parts.store.writing() as work:
        lot = lot_to_change(work, who, lot_id, version)
        revision = speaking_revision(work, lot.id)
        if revision is not None and revision.state not in ("to check", "approved"):
            raise refuse("The quote is {state}: ask again, or begin a new revision.", state=revision.state)
        refuse_same(work, lot.company_id, asked, lot)
        result, before = _worked(parts, work, lot, asked), frame_days(lot)
        for field, value in _fields(work, lot.company_id, asked).items():
            setattr(lot, field, value)
        takeoff = lots.add_takeoff(work, lot.id, asked.house, result.answer, who.name)
        _show(lot, result.answer)
        if revision is not None:
            revision.takeoff = takeoff
            back_to_check(revision)
        verb = "corrected" if who.kind == "office" else "changed"
        note(work, who, verb, lot.name, lot.id, edition=takeoff.edition)
        tell_frame_days(parts, work, who, lot, before)
        restage(work, lot)


def ask_again(parts: Parts, who: Actor, lot_id: str, version: int, asked: LotAsked) -> None:
    """A builder asks again after a quote was sent, lapsed or declined: a revision begins."""
    must_be(who, "builder")
    check(asked)
    with parts.store.writing() as work:
        lot = lot_to_change(work, who, lot_id, version)
        revision = speaking_revision(work, lot.id)
        if revision is None or revision.state not in ("sent", "lapsed", "declined"):
            raise refuse("There is nothing to ask again: the lot is {stage}.", stage=lot.stage)
        refuse_same(work, lot.company_id, asked, lot)
        result, before = _worked(parts, work, lot, asked), frame_days(lot)
        for field, value in _fields(work, lot.company_id, asked).items():
            setattr(lot, field, value)
        takeoff = lots.add_takeoff(work, lot.id, asked.house, result.answer, who.name)
        _show(lot, result.answer)
        next_revision(work, revision, takeoff.id)
        note(work, who, "asked again", lot.name, lot.id)
        mail_office(
            parts, work, "asked", lot.id, company=who.company, lot=lot_name(lot), feet=lot.feet, by=who.name,
            link=parts.links.office_lot(lot.id),
        )  # fmt: skip
        tell_frame_days(parts, work, who, lot, before)
        restage(work, lot)
