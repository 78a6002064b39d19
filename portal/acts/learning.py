"""What finished jobs teach, and a new edition of the figures from it."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction
from typing import Any

from portal.acts import editions
from portal.acts.editions import decimal, in_force
from portal.acts.parts import Actor, Parts, must_be, must_be_owner
from portal.core.documents import QuoteDocument, TreatmentDocument, fingerprint, from_stored
from portal.core.errors import NotFound, refuse
from portal.core.treatment import lessons
from portal.core.treatment.crew import Crew, read_crew
from portal.core.treatment.lessons import FEWEST, Finished, Lesson
from portal.core.treatment.product import Product, read_product
from portal.store import quotes, records
from portal.store.transaction import Work

#: A record amended in one of these tells no longer what was used, or how long it took.
UNSURE = ("amounts", "day", "walls", "coats", "product")
CREW = (
    "setup_minutes", "cleanup_minutes", "prepare_feet_per_hour", "spray_feet_per_hour",
    "outside_feet_per_hour", "unwrap_feet_per_hour", "second_coat_feet_per_hour", "mix_minutes_per_batch",
)  # fmt: skip
PRODUCT = ("feet_per_gallon", "second_coat_share")
KINDS = {"product": PRODUCT, "crew": CREW}


@dataclass(frozen=True, slots=True)
class Change:
    """One figure: its name, as it is in force, and as the jobs say."""

    at: str
    now: Decimal
    then: Decimal


@dataclass(frozen=True, slots=True)
class Proposal:
    """A new edition of product or crew figures: what would change, its document, and the mark of both."""

    kind: str
    changes: tuple[Change, ...]
    document: dict[str, Any]
    mark: str


@dataclass(frozen=True, slots=True)
class Learned:
    """What there is to see: the lessons, and the editions that could be made of them."""

    lessons: tuple[Lesson, ...]
    proposals: tuple[Proposal, ...]
    jobs: int
    left_out: int
    fewest: int = FEWEST


def look(parts: Parts, who: Actor) -> Learned:
    """What the finished jobs say."""
    must_be(who, "office")
    with parts.store.reading() as work:
        jobs, left_out = _jobs(work)
        return Learned(lessons.lessons(jobs), _proposals(parts, work, jobs), len(jobs), left_out)


def learn(parts: Parts, who: Actor, kind: str, mark: str, once_key: str) -> int:
    """Make a new edition of the product's or the crew's figures, as it was shown; answers its number.

    It holds from today on; quotes that were sent keep the figures they were reckoned by.
    """
    must_be_owner(who)
    if kind not in KINDS:
        raise NotFound("edition", kind)
    found = {one.kind: one for one in look(parts, who).proposals}.get(kind)
    if found is None or found.mark != mark:
        raise refuse("The figures are others by now: a job was finished, or an edition made. Look again.")
    return editions.enter(parts, who, kind, parts.today(), found.document, once_key)


def _jobs(work: Work) -> tuple[list[Finished], int]:
    unsure, shares, found, left_out = records.amended_in(work, UNSURE), dict[int, Fraction](), [], 0
    for record, revision, technician in records.finished(work):
        if record.id in unsure:
            left_out += 1
            continue
        quote = from_stored(QuoteDocument, revision.document)
        edition = quote.product.edition
        if edition not in shares:
            figures = quotes.edition_numbered(work, "product", edition).document["figures"]
            shares[edition] = read_product(figures).second_coat_share
        done = from_stored(TreatmentDocument, record.document)
        found.append(_job(done, quote, technician.name if technician else "", shares[edition]))
    return found, left_out


def _job(done: TreatmentDocument, quote: QuoteDocument, technician: str, share: Fraction) -> Finished:
    levels = quote.house["levels"]
    return Finished(
        technician=technician, product=done.product.name, crew_edition=quote.crew_edition,
        planned=Fraction(quote.estimate["product"]["concentrate"]), used=Fraction(done.applied.concentrate),
        planned_minutes=Fraction(quote.estimate["minutes"]["elapsed"]), minutes=Fraction(done.minutes),
        feet=Fraction(done.total_feet),
        second_feet=sum((Fraction(wall.feet) for wall in done.walls if wall.coats == 2), Fraction(0)),
        share=share, as_quoted=all(wall.found == wall.quoted for wall in done.walls),
        interior_feet=Fraction(done.interior_feet),
        floor_area=Fraction(done.floor_area) if done.floor_area else None,
        interior_measured=all(level["interior"].get("by") != "ratio" for level in levels),
    )  # fmt: skip


def _proposals(parts: Parts, work: Work, jobs: list[Finished]) -> tuple[Proposal, ...]:
    now = in_force(work, parts.today())
    product, crew = read_product(now.product.document["figures"]), read_crew(now.crew.document)
    made: dict[str, tuple[Product | Crew, Product | Crew | None, editions.EditionView]] = {
        "product": (product, lessons.product_from(jobs, product), now.product),
        "crew": (crew, lessons.crew_from(jobs, crew, now.crew.number), now.crew),
    }
    found = [_proposal(kind, *one) for kind, one in made.items()]
    return tuple(one for one in found if one is not None)


def _proposal(
    kind: str, now: Product | Crew, then: Product | Crew | None, edition: editions.EditionView
) -> Proposal | None:
    """None where there are too few jobs, or the figures fit as they are."""
    if then is None or then == now:
        return None
    changes = tuple(
        Change(at, decimal(getattr(now, at)), decimal(getattr(then, at)))
        for at in KINDS[kind]
        if getattr(now, at) != getattr(then, at)
    )
    learned = {one.at: str(one.then) for one in changes}
    document = edition.document
    changed = (
        document | {"figures": document["figures"] | learned} if kind == "product" else document | learned
    )
    mark = fingerprint({"kind": kind, "edition": edition.number, "document": changed})
    return Proposal(kind, changes, changed, mark)
