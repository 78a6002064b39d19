"""Getting paid, through the pages: reminders, an invoice chased, statements, disputes, interest."""

from __future__ import annotations

from datetime import timedelta
from typing import Any

import pytest
from flask.testing import FlaskClient

from portal.acts import chase_terms, people
from portal.store.tables import Edition, Statement
from tests.web.visits import Visits, error_at, form_of, text_of

pytestmark = pytest.mark.slow

STEPS = [{"days": 7, "subject": "{invoice}", "body": "{amount}"}]
TERMS = {"percent": "7.3", "grace_days": "5", "counts": "365"}


def late(visits: Visits, days: int, terms: Any = None) -> tuple[str, str]:
    """A treated lot and its invoice, so many days past due."""
    house = visits.house
    document = {"steps": STEPS, "interest": terms or {}}
    chase_terms.enter_chase_terms(house.parts, house.owner, house.parts.today(), document, house.key())
    lot = house.treated()
    house.clock.turn_to(house.invoice(lot).document.due_on + timedelta(days=days))
    return lot, house.invoice(lot).id


def at_the_desk(visits: Visits) -> FlaskClient:
    """Somebody of the office at their browser, now: a sign-in of weeks ago has ended."""
    return visits.by(visits.house.office)


def test_who_is_late_stands_on_the_page_with_what_goes_out_next(visits: Visits) -> None:
    assert "Nothing is open" in text_of(at_the_desk(visits).get("/office/chase"))
    late(visits, 3)
    office = at_the_desk(visits)

    read = text_of(office.get("/office/chase"))

    assert "Harrow & Finch Homes" in read and "3 days" in read and "Jun 10, 2027" in read
    assert "1 to 30 days late" in read and "No reminders are entered" not in read
    assert "Chase" in text_of(office.get("/office/money"))


def test_a_promise_and_a_dispute_are_taken_down_with_errors_beside_their_fields(visits: Visits) -> None:
    _lot, invoice = late(visits, 3)
    office = at_the_desk(visits)
    at = f"/office/chase/{invoice}"
    form = form_of(office.get(at), "/promise")

    wrong = office.post(f"{at}/promise", data=form | {"promise-by_day": "soon", "promise-said_by": "Harriet"})
    assert wrong.status_code == 422 and 'value="Harriet"' in wrong.get_data(as_text=True)
    assert "no day" in error_at(wrong, "promise-by_day")
    wrong = office.post(f"{at}/promise", data=form | {"promise-by_day": "2027-01-01"})
    assert error_at(wrong, "promise-said_by") == "This is missing."
    typed = {"promise-by_day": "2027-06-20", "promise-said_by": "Harriet Finch", "promise-words": "By check."}
    assert office.post(f"{at}/promise", data=form | typed).status_code == 303
    assert "promised by Jun 20, 2027" in text_of(office.get("/office/chase"))

    assert error_at(office.post(f"{at}/dispute", data={}), "dispute-reason") == "Say what is not right."
    assert office.post(f"{at}/dispute", data={"dispute-reason": "The east wall."}).status_code == 303
    assert "The east wall." in text_of(office.get(at)) and "The east wall." in text_of(
        office.get("/office/today")
    )
    assert error_at(office.post(f"{at}/settle", data={}), "settle-words") == "Say how it was settled."
    assert office.post(f"{at}/settle", data={"settle-words": "It was wrapped."}).status_code == 303
    assert "Settled: It was wrapped." in text_of(office.get(at))


def test_interest_is_shown_to_a_day_and_billed_as_shown(visits: Visits) -> None:
    lot, invoice = late(visits, 55, TERMS)
    office = at_the_desk(visits)
    at = f"/office/chase/{invoice}"
    assert "bears 7.3% interest a year" in text_of(
        visits.by(visits.house.builder).get(f"/lots/{lot}/invoice")
    )

    assert "$4.32" in text_of(office.get(f"{at}?until=2027-07-18"))  # 40 days
    page = office.get(at)
    assert "Bill $5.41 of interest" in text_of(page)
    form = form_of(page, "/interest")
    assert office.post(f"{at}/interest", data=form).status_code == 303
    assert office.post(f"{at}/interest", data=form).status_code == 303  # sent twice, billed once
    read = text_of(office.get(at))
    assert "INV-2027-0002" in read and "INV-2027-0003" not in read and "Nothing came together" in read
    assert office.post(f"{at}/interest", data={"once_key": "k", "interest-amount": "x"}).status_code == 409


def test_without_terms_there_is_no_interest_to_bill(visits: Visits) -> None:
    _lot, invoice = late(visits, 55)
    office = at_the_desk(visits)

    page = office.get(f"/office/chase/{invoice}")

    assert "says nothing of interest" in text_of(page) and "/interest" not in page.get_data(as_text=True)


def test_a_statement_is_made_opened_and_sent(visits: Visits) -> None:
    late(visits, 3)
    office = at_the_desk(visits)
    company = visits.house.builder.company_id
    at = f"/office/chase/builders/{company}"
    form = form_of(office.get(at), "/statement")

    wrong = office.post(f"{at}/statement", data=form | {"statement-first": "2027-06-30"})
    assert error_at(wrong, "statement-first") == "The first day comes after the last."
    assert office.post(f"{at}/statement", data=form | {"statement-first": "2027-05-01"}).status_code == 303
    page = office.get(at)
    assert "STM-2027-0001" in text_of(page) and "$540.51" in text_of(page)
    with visits.house.parts.store.reading() as work:
        made = work.session.query(Statement.id).scalar()
    assert office.get(f"/office/chase/statements/{made}.pdf").mimetype == "application/pdf"
    sent = office.post(f"{at}/statements/{made}/send", data=form_of(page, "/send"), follow_redirects=True)
    assert "One person was written to." in text_of(sent) and "sent Jun 6, 2027" in text_of(sent)


def test_a_builder_sees_what_it_owes_makes_a_statement_and_says_what_is_not_right(visits: Visits) -> None:
    _lot, invoice = late(visits, 3)
    harriet = visits.by(visits.house.builder)
    assert "/account" in harriet.get("/papers").get_data(as_text=True)

    page = harriet.get("/account")
    assert "$540.51" in text_of(page) and "3 days" in text_of(page)
    made = harriet.post("/account", data=form_of(page, "/account"))
    assert made.status_code == 303
    assert harriet.get(made.headers["Location"]).mimetype == "application/pdf"
    assert (
        error_at(harriet.post("/account", data={"once_key": "k"}), "statement-first")
        == "Enter the first day."
    )

    at = f"/invoices/{invoice}/dispute"
    assert (
        error_at(harriet.post(at, data={"dispute-reason": " "}), "dispute-reason") == "Say what is not right."
    )
    assert harriet.post(at, data={"dispute-reason": "The east wall."}).status_code == 303
    assert "You said that it is not right" in text_of(harriet.get(at))
    assert harriet.post(at, data={"settle-words": "We were wrong."}).status_code == 303
    assert "Settled: We were wrong." in text_of(harriet.get(at))


def test_an_owner_enters_the_office_s_own_words_and_mistakes_stand_beside_their_fields(
    visits: Visits,
) -> None:
    at, office = "/office/rates/chasing", at_the_desk(visits)
    assert "Only an owner" in text_of(office.get(at))
    owner = visits.by(visits.house.owner)
    form = form_of(owner.get(at), "")
    assert form["steps[0].days"] == "-3"  # an example, to be made one's own

    bad = owner.post(at, data=form | {"steps[1].body": "Dear {name}", "interest.percent": "-1"})
    assert bad.status_code == 422 and "Dear {name}" in bad.get_data(as_text=True)
    assert "“{name}” cannot be filled in" in error_at(bad, "steps[1].body")
    assert "is no percent" in error_at(bad, "interest.percent")
    empty = {f"steps[0].{key}": "" for key in ("days", "subject", "body")}
    assert owner.post(at, data=form | empty | {"first_day": "x"}).status_code == 422
    assert owner.post(at, data=form | empty | {"interest.percent": "6"}).status_code == 303
    with visits.house.parts.store.reading() as work:
        entered = work.session.query(Edition).filter(Edition.kind == "chasing").one()
        assert [step["days"] for step in entered.document["steps"]] == ["7", "30"]
    assert "bears 6% interest" in text_of(owner.get(at))
    assert "Reminders and interest" in text_of(owner.get("/office/rates"))


def test_who_does_not_see_money_sees_no_account(visits: Visits) -> None:
    house = visits.house
    person = people.invite_colleague(house.parts, house.builder, "Asker", "asker@example.com", ())
    token = house.parts.tokens.make("invitation", {"person": person, "turn": 0})
    people.set_password(house.parts, "invitation", token, "framing before drywall")
    asker = visits.by(people.actor_by_email(house.parts, "asker@example.com"))

    assert asker.get("/account").status_code == 403
    assert "/account" not in asker.get("/papers").get_data(as_text=True)
