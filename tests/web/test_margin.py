"""Cost and margin on the office's pages, and nowhere else: no page, letter, paper or document of others."""

from __future__ import annotations

import json
import re
from collections.abc import Iterator
from decimal import Decimal
from typing import Any

import pytest
from flask.testing import FlaskClient
from sqlalchemy import select

from portal.acts import people
from portal.core.documents import CostDocument, from_stored
from portal.store.tables import (
    CreditNote,
    Invoice,
    Job,
    Letter,
    Margin,
    PackageCover,
    Revision,
    Statement,
    TreatmentRecord,
    Warranty,
)
from tests.parts.demo import Demo
from tests.parts.every_page import every_page
from tests.parts.house import FIRM, House, ranch
from tests.web.visits import Visits, press, text_of

COSTS = {"cost_crew_hour": "43.73", "cost_mile": "0.71", "cost_job": "11.37"}
OPEN = ranch(siding="open")
#: The office's pages; everybody else's are to be free of it.
OFFICE = ("Odile", "Terrence")
#: Words that a figure of cost or margin would stand beside, on pages, and as a key of a frozen document.
WORDS = re.compile(r"\bmargins?\b|containers, at cost|crew hours on site cost|cost of the containers", re.I)
KEYS = re.compile(r"container_cost|cost_|margin|crew_hour\b|\"floor\"")


@pytest.fixture
def house(visits: Visits) -> House:
    return visits.house


@pytest.fixture
def office(visits: Visits, house: House) -> FlaskClient:
    return visits.by(house.office)


@pytest.fixture
def owner(visits: Visits, house: House) -> FlaskClient:
    return visits.by(house.owner)


def test_the_quote_says_what_it_leaves_line_by_line(office: FlaskClient, house: House) -> None:
    house.enter("firm", FIRM | COSTS)
    lot = house.to_check(house=OPEN)

    said = text_of(office.get(f"/office/lots/{lot}/quote"))

    assert "Cost and margin, for the office alone" in said
    assert "Margin by line" in said and "276.00" in said
    assert "Not known: how many miles away the lot is" in said


def test_without_costs_it_says_so_and_no_percentage(office: FlaskClient, house: House) -> None:
    lot = house.to_check(house=OPEN)

    said = text_of(office.get(f"/office/lots/{lot}/quote"))

    assert "No cost entered" in said and "100%" not in said


def test_under_the_floor_an_owner_types_a_reason_and_the_office_reads_who_can(
    office: FlaskClient, owner: FlaskClient, house: House
) -> None:
    house.enter("firm", FIRM | COSTS | {"margin_floor": "99"})
    lot = house.to_check(house=OPEN)

    told = office.get(f"/office/lots/{lot}/quote")
    refused = press(office, lot, "approve", remarks="Mind the porch.")
    bare = press(owner, lot, "approve", remarks="Mind the porch.")
    done = press(owner, lot, "approve", remarks="Mind the porch.", reason="The first of forty.")

    assert house.owner.name in text_of(told) and "approve-reason" not in told.get_data(as_text=True)
    assert refused.status_code == 409 and house.owner.name in text_of(refused)
    assert bare.status_code == 422 and "Write why it is approved" in text_of(bare)
    assert "Mind the porch." in bare.get_data(as_text=True)
    assert done.status_code == 303
    assert "The first of forty." in text_of(owner.get(f"/office/lots/{lot}/quote"))


def test_a_treated_lot_says_planned_against_actual(office: FlaskClient, house: House) -> None:
    house.enter("firm", FIRM | COSTS)
    lot = house.treated(house=OPEN)

    said = text_of(office.get(f"/office/lots/{lot}/treatment"))
    page = text_of(office.get("/office/margin"))

    assert "2.96 gal mixed, 2.96 planned" in said and "As it was" in said
    assert "Planned against actual: jobs treated" in page and "Quarry Bend" not in page
    assert "Quarry Bend" in text_of(office.get("/office/margin?by=subdivision"))


@pytest.mark.parametrize(
    ("query", "says"),
    [("since=soon", "is no day"), ("since=2027-02-01&until=2027-01-01", "before the first")],
)
def test_days_that_cannot_be_are_said_beside_their_field(office: FlaskClient, query: str, says: str) -> None:
    answer = office.get(f"/office/margin?{query}")

    assert answer.status_code == 422 and says in text_of(answer)


def test_a_cost_that_is_no_number_is_said_beside_its_field(owner: FlaskClient, house: House) -> None:
    form = {key: "\n".join(v) if isinstance(v, list) else str(v) for key, v in FIRM.items()}

    answer = owner.post("/office/rates/firm", data=form | {
        "first_day": str(house.parts.today()), "cost_crew_hour": "a lot", "once_key": "k"})  # fmt: skip

    assert answer.status_code == 422
    assert 'value="a lot"' in answer.get_data(as_text=True)


@pytest.mark.slow
def test_cost_and_margin_stand_on_no_page_letter_or_document_of_anybody_else(demo: Demo) -> None:
    """The whole demo: what its quotes cost and leave is looked for wherever somebody else could read."""
    visits = every_page(demo)
    figures = _figures(demo)
    assert len(figures) > 20
    app, found = demo.app(), []
    for who in dict.fromkeys(visit.who for visit in visits if visit.who not in OFFICE):
        client = app.test_client()
        if who:
            token = people.demo_sign_in(demo.parts, demo.person(who).person_id or "")
            with client.session_transaction() as session:
                session["sign_in"] = token
        for path in dict.fromkeys(visit.path for visit in visits if visit.who == who):
            answer = client.get(path)
            assert answer.status_code == 200, path
            page = answer.get_data(as_text=True)
            found += [(who, path, one) for one in _told(page, figures)]
    found += [("letter", subject, one) for subject, text in _letters(demo) for one in _told(text, figures)]
    found += [(kind, "", one) for kind, text in _kept(demo) for one in _frozen(text, figures)]
    assert found == []


def test_the_sweep_would_find_them(office: FlaskClient, house: House) -> None:
    """The same look at an office page does find them: the test above can fail."""
    house.enter("firm", FIRM | COSTS)
    lot = house.to_check(house=OPEN)

    page = office.get(f"/office/lots/{lot}/quote").get_data(as_text=True)
    assert {"276.00", "margin"} <= set(_told(page, {"276.00"}))
    assert _frozen('{"container_cost":"276.00"}', {"276.00"}) == ["276.00", "container_cost"]


def _figures(demo: Demo) -> set[str]:
    """Every amount of cost and margin in the demo, as pages write it and as documents do."""
    found: set[Decimal] = set()
    with demo.parts.store.reading() as work:
        for row in work.session.scalars(select(Margin)):
            cost = from_stored(CostDocument, row.document)
            found |= {cost.cost, cost.margin, *(part.amount for part in cost.parts if part.amount)}
            found |= {line.cost for line in cost.lines if line.cost}
    return {text for amount in found for text in (f"{amount:.2f}", f"{amount:,.2f}")}


def _told(page: str, figures: set[str]) -> list[str]:
    """Amounts and words on a page or in a letter. Feet and gallons may come to the same number by chance."""
    amounts = set(re.findall(r"\$(\d[\d,]*\.\d\d)(?!\d)", page))
    return [*(amounts & figures), *WORDS.findall(page)]


def _frozen(document: str, figures: set[str]) -> list[str]:
    """Amounts and keys in a document, without a sign before its amounts: those under 10 say too little."""
    numbers = set(re.findall(r"\d[\d,]*\.\d\d(?!\d)", document))
    return [*(n for n in numbers & figures if len(n) > 4), *KEYS.findall(document)]


def _letters(demo: Demo) -> Iterator[tuple[str, str]]:
    with demo.parts.store.reading() as work:
        for letter in work.session.scalars(select(Letter)):
            yield letter.subject, f"{letter.text}\n{letter.html}"


def _kept(demo: Demo) -> Iterator[tuple[str, str]]:
    """Every frozen document that a paper or a page of others is made from."""
    with demo.parts.store.reading() as work:
        kinds: tuple[type[Any], ...] = (
            Revision, Invoice, CreditNote, TreatmentRecord, Warranty, PackageCover, Statement
        )  # fmt: skip
        for kind in kinds:
            for document in work.session.scalars(select(kind.document)):
                yield kind.__tablename__, json.dumps(document)
        for sheet in work.session.scalars(select(Job.sheet)):
            yield "job", json.dumps(sheet)
