"""Editions of what the office entered: rate book, product, crew, warranty terms, and the firm itself."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from typing import Any

from portal.acts.parts import Actor, Parts, must_be, must_be_owner
from portal.acts.trail import note, once
from portal.core.cover.kept import FEWEST_YEARS, MOST_YEARS
from portal.core.cover.promised import problems_of, promised
from portal.core.cover.trouble import ANSWER_DAYS
from portal.core.crewdays.hours import USUAL_TRAVEL
from portal.core.documents import Firm, ProductEdition, Terms
from portal.core.documents.notice import SIZES
from portal.core.errors import BadInput, NotFound, Problem
from portal.core.fields import Problems, whole
from portal.core.money.terms_entered import problems_of_firm
from portal.core.pricing.margin import problems_of_costs
from portal.core.pricing.rates import read_rates
from portal.core.privacy.kept import FORGET_DAYS
from portal.core.treatment.crew import read_crew
from portal.core.treatment.product import read_product
from portal.core.words import say
from portal.store import quotes
from portal.store.transaction import Work


@dataclass(frozen=True, slots=True)
class EditionView:
    """One edition, as shown in the rate book."""

    kind: str
    number: int
    first_day: date
    document: dict[str, Any]
    made_by: str


@dataclass(frozen=True, slots=True)
class InForce:
    """The editions that hold on a day."""

    rates: EditionView
    product: EditionView
    crew: EditionView
    terms: EditionView
    firm: EditionView

    def product_edition(self) -> ProductEdition:
        """The product as papers name it."""
        figures = read_product(self.product.document["figures"])
        return ProductEdition(
            edition=self.product.number, name=figures.name,
            registration=self.product.document["registration"],
            classification=self.product.document["classification"],
            active_ingredient=self.product.document["active_ingredient"],
            dry_minutes=decimal(figures.dry_minutes), height_feet=decimal(figures.height_feet),
            water_per_concentrate=decimal(figures.water_per_concentrate),
        )  # fmt: skip

    def warranty_terms(self) -> Terms:
        """The terms as papers print them."""
        entered = self.terms.document
        return Terms(
            edition=self.terms.number, title=entered["title"],
            years=None if entered["years"] is None else int(entered["years"]),
            covers=tuple(entered["covers"]), voids=tuple(entered["voids"]), ask=entered["ask"],
            notice=entered["notice"], release=entered["release"],
            **promised(entered, read_rates(self.rates.document).currency),
        )  # fmt: skip

    def office(self) -> Firm:
        """The office as its papers name it."""
        entered = self.firm.document
        return Firm(
            name=entered["name"], address=tuple(entered["address"]), phone=entered["phone"],
            email=entered["email"],
            license=entered["license"], tax_number=entered.get("tax_number", ""),
        )  # fmt: skip


def decimal(value: Any) -> Decimal:
    """An exact figure of an edition: they are entered as decimals, so this loses nothing."""
    return Decimal(value.numerator) / Decimal(value.denominator)


#: How many days before a quote lapses its builder is reminded, where the firm's edition does not say.
REMIND_DAYS = 3


def remind_days(firm: EditionView) -> int:
    """How many days before a quote lapses its builder is reminded; 0 where nobody is."""
    entered = firm.document.get("remind_days", "")
    return REMIND_DAYS if entered == "" else int(entered)


def answer_days(firm: dict[str, Any]) -> int:
    """Working days to the first answer to a report of trouble, by an edition of the firm."""
    entered = firm.get("answer_days", "")
    return ANSWER_DAYS if entered == "" else int(entered)


def forget_days(firm: dict[str, Any]) -> int:
    """Days that a person's name outlives its purpose, by an edition of the firm."""
    entered = firm.get("forget_days", "")
    return FORGET_DAYS if entered == "" else int(entered)


def travel_minutes(firm: dict[str, Any]) -> int:
    """Minutes that the way to each stop is allowed, by an edition of the firm."""
    entered = firm.get("travel_minutes", "")
    return USUAL_TRAVEL if entered == "" else int(entered)


def days_off(firm: dict[str, Any]) -> tuple[date, ...]:
    """The days on which the office does not treat, as its edition of the firm lists them, in order."""
    return tuple(sorted(date.fromisoformat(day) for day in firm.get("days_off", ())))


#: As many days off as an edition lists; more would be somebody's calendar, and is refused.
MOST_DAYS_OFF = 100


def view(edition: Any) -> EditionView:
    """A stored edition as a frozen record."""
    return EditionView(edition.kind, edition.number, edition.first_day, edition.document, edition.made_by)


def in_force(work: Work, day: date) -> InForce:
    """The editions that hold on `day`. Raises `NotFound` where the office has not entered one yet."""
    return InForce(**{kind: view(edition) for kind, edition in quotes.editions_on(work, day).items()})


def rate_book(parts: Parts, who: Actor) -> dict[str, list[EditionView]]:
    """Every edition of every kind, newest first."""
    must_be(who, "office")
    with parts.store.reading() as work:
        return {kind: [view(e) for e in quotes.editions(work, kind)] for kind in quotes.EDITION_KINDS}


def holding(found: list[EditionView], day: date) -> EditionView | None:
    """Which of the editions of one kind holds on a day: the newest whose first day has come."""
    come = [edition for edition in found if edition.first_day <= day]
    return max(come, key=lambda edition: (edition.first_day, edition.number), default=None)


def enter(
    parts: Parts, who: Actor, kind: str, first_day: date, document: dict[str, Any], once_key: str = ""
) -> int:
    """A new edition; answers its number.

    It holds for what is quoted from its first day on, and changes nothing before. With a `once_key`,
    the same form sent twice makes one edition.
    """
    must_be_owner(who)
    check(kind, document)

    def do(work: Work) -> dict[str, Any]:
        if first_day < parts.today() and quotes.editions(work, kind):
            too_early = say("An edition begins today or later: quotes already sent keep theirs.")
            raise BadInput([Problem("first_day", too_early)])
        edition = quotes.add_edition(work, kind, first_day, document, who.name)
        note(work, who, "edition", f"{kind} {edition.number}")
        return {"number": edition.number}

    if once_key:
        said = {"first_day": first_day, "document": document}
        return int(once(parts, who, f"edition {kind}", once_key, do, said)["number"])
    with parts.store.writing() as work:
        return int(do(work)["number"])


REQUIRED = {
    "firm": ("name", "address", "phone", "email", "license", "quote_days", "net_days", "pay_to"),
    "terms": ("title", "years", "covers", "voids", "ask", "notice", "release"),
    "product": ("figures", "registration", "classification", "active_ingredient"),
}


def check(kind: str, document: dict[str, Any]) -> None:
    """Refuse an edition that the engine or the papers could not use. Raises `BadInput`."""
    if kind not in quotes.EDITION_KINDS:
        raise NotFound("edition", kind)
    missing = [key for key in REQUIRED.get(kind, ()) if key not in document or document[key] == ""]
    if missing:
        raise BadInput([Problem(key, say("This is missing.")) for key in missing])
    if kind == "rates":
        read_rates(document)
    elif kind == "crew":
        read_crew(document)
    elif kind == "product":
        read_product(document["figures"])
    else:
        problems = _problems_of_terms(document) if kind == "terms" else _problems_of_firm(document)
        if problems:
            raise BadInput(problems)


RELEASES = ("paid", "hand")


def _problems_of_terms(document: dict[str, Any]) -> list[Problem]:
    found: Problems = []
    if document["years"] is not None:
        whole(document["years"], "years", found, 1, 100)
    found += [
        Problem(at, say("Write at least one line."))
        for at in ("covers", "voids") if not any(document[at])
    ]  # fmt: skip
    if document["release"] not in RELEASES:
        found.append(Problem("release", say("Choose what brings a warranty into force.")))
    return found + problems_of(document)


def _problems_of_firm(document: dict[str, Any]) -> list[Problem]:
    found: Problems = []
    whole(document["quote_days"], "quote_days", found, 1, 365)
    found += problems_of_firm(document)
    found += problems_of_costs(document)
    if document.get("remind_days", "") != "":
        whole(document["remind_days"], "remind_days", found, 0, 60)
    if document.get("forget_days", "") != "":
        whole(document["forget_days"], "forget_days", found, 0, 3650)
    if document.get("answer_days", "") != "":
        whole(document["answer_days"], "answer_days", found, 1, 60)
    if document.get("travel_minutes", "") != "":
        whole(document["travel_minutes"], "travel_minutes", found, 0, 240)
    if document.get("keep_years", "") != "":
        whole(document["keep_years"], "keep_years", found, FEWEST_YEARS, MOST_YEARS)
    if document.get("notice_size", "") not in ("", *SIZES):
        found.append(Problem("notice_size", say("Choose one of the sizes.")))
    found += _problems_of_days_off(document.get("days_off", []))
    if not document["address"]:
        found.append(Problem("address", say("This is missing.")))
    return found


def _problems_of_days_off(listed: Any) -> list[Problem]:
    if not isinstance(listed, list) or len(listed) > MOST_DAYS_OFF:
        says = say("List at most {most} days off, one a line.", most=MOST_DAYS_OFF)
        return [Problem("days_off", says)]
    return [
        Problem("days_off", say("“{read}” is no day; write it as 2027-03-09.", read=str(text)[:20]))
        for text in listed if not _is_day(text)
    ]  # fmt: skip


def _is_day(text: Any) -> bool:
    # Of all that ISO 8601 allows, only the form that people write: no weeks, no days counted from New Year.
    try:
        return isinstance(text, str) and date.fromisoformat(text).isoformat() == text
    except ValueError:
        return False
