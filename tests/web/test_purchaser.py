"""A purchaser's page: one quote behind one link, and its answer; nothing of it where the link is over."""

from __future__ import annotations

from datetime import timedelta

import pytest
from flask.testing import FlaskClient
from werkzeug.test import TestResponse

from portal.acts import quoting
from portal.acts.purchasing import withdraw_link
from portal.acts.second_person import set_second_over
from portal.store.tables import Consent, Job, PurchaserLink
from tests.parts.links import link_id, mailed
from tests.parts.pdf import text_of as text_of_pdf
from tests.web.visits import Visits, error_at, form_of, make_visits, text_of

pytestmark = pytest.mark.slow

CLAUSE = 'aria-labelledby="h-clause"'
#: What a page must not say of a quote that it does not show.
OF_THE_QUOTE = ("Lot 1", "Lime Kiln", "Harrow", "Harriet", "Q-2027", "Pia", "$", "pia@")


def link_of(visits: Visits, lot: str) -> str:
    """A link to the lot's quote, as a path."""
    return f"/quote/{mailed(visits.house, lot)}"


def answer(client: FlaskClient, path: str, act: str, **typed: str) -> TestResponse:
    """Fill in a form of the page and send it."""
    form = form_of(client.get(path), f"{path}/{act}") | typed
    return client.post(f"{path}/{act}", data=form)


def test_the_page_says_all_that_the_builders_sheet_says_of_the_quote(visits: Visits) -> None:
    lot = visits.house.sent()
    own = visits.by(visits.house.builder).get(f"/lots/{lot}/quote").get_data(as_text=True)
    page = visits.by(None).get(link_of(visits, lot)).get_data(as_text=True)

    def between(text: str) -> str:
        start = text.index("<h2>Quote Q-2027-0001 rev. 1</h2>")
        return text[start : text.index('<section class="part" id="', start)]

    # Between price and clause the builder is asked for the day siding starts, which no purchaser is.
    asked, clause = (own.index(f'<section class="part" {at}') for at in ('id="waiting"', CLAUSE))
    builders = between(own[:asked] + own[clause:])
    assert between(page).split() == builders.split()


def test_nothing_beside_the_quote_is_there(visits: Visits) -> None:
    lot = visits.house.sent()
    visits.house.sent()

    page = text_of(visits.by(None).get(link_of(visits, lot)))

    for words in ("History", "Terrence", "Our lots", "Links to a purchaser", "Lot 2", "Sign out", "Find a"):
        assert words not in page
    assert "For Pia Holm." in page and "Harrow & Finch Homes" in page


def test_whoever_is_signed_in_sees_no_places_of_theirs(visits: Visits) -> None:
    path = link_of(visits, visits.house.sent())

    assert "Our lots" not in text_of(visits.by(visits.house.rival).get(path))


@pytest.mark.parametrize("tail", ["", "/quote.pdf", "x", "x/quote.pdf"])
def test_it_is_kept_by_nobody_and_leads_nobody_here(visits: Visits, tail: str) -> None:
    answer = visits.by(None).get(link_of(visits, visits.house.sent()) + tail)

    assert answer.headers["X-Robots-Tag"] == "noindex, nofollow, noarchive"
    assert answer.headers["Cache-Control"] == "no-store"
    assert answer.headers["Referrer-Policy"] == "same-origin"
    assert "script-src" not in answer.headers["Content-Security-Policy"]
    assert answer.status_code == (404 if tail.startswith("x") else 200)


def test_the_paper_is_that_of_the_quote(visits: Visits) -> None:
    visits.house.use_real()
    visits = make_visits(visits.house)

    paper = visits.by(None).get(link_of(visits, visits.house.sent()) + "/quote.pdf")

    assert paper.mimetype == "application/pdf"
    assert "Q-2027-0001 rev. 1" in text_of_pdf(paper.data)


def test_accepting_needs_a_name_and_shows_what_was_answered(visits: Visits) -> None:
    lot, client = visits.house.sent(), visits.by(None)
    path = link_of(visits, lot)

    wrong = answer(client, path, "accept", name=" ", purchase_order="PO-9")
    kept = form_of(wrong, f"{path}/accept")
    done = answer(client, path, "accept", name="Pia Holm", purchase_order="PO-9")
    after = text_of(client.get(path))

    assert wrong.status_code == 422 and kept["purchase_order"] == "PO-9"
    assert error_at(wrong, "name") == "Type your name: it stands on the acceptance."
    assert (done.status_code, done.headers["Location"]) == (303, path)
    fingerprint = visits.house.sheet(lot).revisions[0].fingerprint
    for words in ("Your answer", "accepted", "Pia Holm", "PO-9", "Q-2027-0001 rev. 1", fingerprint):
        assert words in after
    assert "Type your name" not in after and "Decline" not in after
    assert "Accepted. Thank you. A copy comes to you by mail." in after
    assert visits.house.rows(Job) == 1


def test_declining_needs_a_reason(visits: Visits) -> None:
    lot, client = visits.house.sent(), visits.by(None)
    path = link_of(visits, lot)

    wrong = answer(client, path, "decline", reason="")
    done = answer(client, path, "decline", reason="Another framer.")

    assert wrong.status_code == 422 and error_at(wrong, "reason")
    assert done.status_code == 303
    assert "Another framer." in text_of(client.get(path))
    assert visits.house.sheet(lot).stage == "declined"


def test_what_only_looks_answers_nothing_and_head_is_no_opening(visits: Visits) -> None:
    lot, client = visits.house.sent(), visits.by(None)
    path = link_of(visits, lot)

    for tail in ("", "/quote.pdf"):
        client.head(path + tail)
    with visits.house.parts.store.reading() as work:
        before = work.session.query(PurchaserLink).one().opened_at
    for tail, status in (("", 200), ("/accept", 405), ("/decline", 405), ("/take-back", 405)):
        assert client.get(path + tail).status_code == status
    with visits.house.parts.store.reading() as work:
        after = work.session.query(PurchaserLink).one().opened_at

    assert before is None and after is not None
    assert visits.house.sheet(lot).stage == "sent"


def test_a_bare_post_without_what_was_seen_accepts_nothing(visits: Visits) -> None:
    lot = visits.house.sent()

    said = visits.by(None).post(f"{link_of(visits, lot)}/accept", data={"name": "Pia", "once_key": "k"})

    assert said.status_code == 409 and "This is not the quote that was shown." in text_of(said)
    assert visits.house.sheet(lot).stage == "sent"


def end(visits: Visits, lot: str, how: str) -> None:
    """Bring a link to its end."""
    house = visits.house
    if how == "withdrawn":
        withdraw_link(house.parts, house.builder, lot, link_id(house, lot))
    elif how == "superseded":
        quoting.revise(house.parts, house.office, lot, house.version(lot))
        house.sent(house.approved(lot))
    elif how == "answered":
        house.accept(lot)
    else:
        house.clock.pass_by(days={"expired": 5, "lapsed": 40}[how])


ENDS = {
    "withdrawn": "This link was withdrawn",
    "superseded": "A newer revision took the place of this quote. Ask the builder for a link to it.",
    "answered": "This quote was answered in the meantime by somebody else.",
    "expired": "The time of this link is over.",
    "lapsed": "This quote held for a time that is over.",
}


@pytest.mark.parametrize("how", ENDS)
def test_a_link_that_is_over_says_why_and_nothing_else(visits: Visits, how: str) -> None:
    lot, client = visits.house.sent(), visits.by(None)
    until = visits.house.parts.today() + timedelta(days=2)
    path = f"/quote/{mailed(visits.house, lot, until=until)}"
    form = form_of(client.get(path), f"{path}/accept") | {"name": "Somebody"}

    end(visits, lot, how)

    stage = visits.house.sheet(lot).stage
    for said, status in ((client.get(path), 410), (client.post(f"{path}/accept", data=form), 410)):
        words = text_of(said)
        assert said.status_code == status and ENDS[how] in words
        assert not [found for found in OF_THE_QUOTE if found in words]
    gone = client.get(f"{path}/quote.pdf")
    assert gone.status_code == 404 and gone.mimetype == "text/html"
    assert visits.house.sheet(lot).stage == stage


def test_an_answer_is_still_shown_when_the_quote_no_longer_is(visits: Visits) -> None:
    lot, client = visits.house.sent(), visits.by(None)
    path = link_of(visits, lot)
    answer(client, path, "accept", name="Pia Holm", purchase_order="PO-9")

    visits.house.clock.pass_by(days=60)

    said = client.get(path)
    assert said.status_code == 200
    assert "Pia Holm" in text_of(said) and "PO-9" in text_of(said)
    assert "Lime Kiln" not in text_of(said) and "$" not in text_of(said)
    assert client.get(f"{path}/quote.pdf").status_code == 404


def test_every_address_that_is_no_link_is_answered_alike(visits: Visits) -> None:
    lot, client = visits.house.sent(), visits.by(None)
    path = link_of(visits, lot)
    tokens = (path[7:-1], path[7:] + "x", "nonsense", link_id(visits.house, lot), lot, "%00x")

    pages = {client.get(f"/quote/{token}").get_data(as_text=True) for token in tokens[:-1]}

    assert len(pages) == 1
    assert "This link is not whole, or none of ours." in pages.pop()
    assert client.get(f"/quote/{tokens[-1]}").status_code == 404


def test_many_wrong_links_make_the_address_wait(visits: Visits) -> None:
    client = visits.by(None)
    codes = [client.get(f"/quote/wrong-{n}").status_code for n in range(11)]

    assert codes == [404] * 10 + [429]


def test_another_quotes_form_is_not_taken_through_this_link(visits: Visits) -> None:
    client, house = visits.by(None), visits.house
    first, second = house.sent(), house.sent()
    one, other = link_of(visits, first), f"/quote/{mailed(house, second)}"
    form = form_of(client.get(other), f"{other}/accept") | {"name": "Pia Holm"}

    said = client.post(f"{one}/accept", data=form)

    assert said.status_code == 409 and "This is not the quote that was shown." in text_of(said)
    assert (house.sheet(first).stage, house.sheet(second).stage) == ("sent", "sent")


def test_the_first_of_two_is_told_and_taken_back(visits: Visits) -> None:
    lot, client = visits.house.sent(), visits.by(None)
    set_second_over(visits.house.parts, visits.house.builder, "100")
    path = link_of(visits, lot)
    before = text_of(client.get(path))

    answer(client, path, "accept", name="Pia Holm")
    kept = text_of(client.get(path))
    answer(client, path, "take-back")
    again = text_of(client.get(path))

    assert "Over $100.00, Harrow & Finch Homes wants two people to accept." in before
    assert "Kept. Thank you. You get a copy by mail once the quote is accepted." in kept
    assert "yes, the first of two" in kept and "Somebody of Harrow & Finch Homes gives the second" in kept
    assert "Your yes is taken back." in again and "Accept" in again
    assert visits.house.rows(Consent) == 1 and visits.house.sheet(lot).stage == "sent"


def test_where_a_yes_is_given_already_there_is_none_to_give_here(visits: Visits) -> None:
    lot, client = visits.house.sent(), visits.by(None)
    set_second_over(visits.house.parts, visits.house.builder, "100")
    path = f"/quote/{mailed(visits.house, lot, by=visits.house.office)}"
    form = form_of(client.get(path), f"{path}/accept") | {"name": "Pia Holm"}
    visits.house.accept(lot)

    page = client.get(path)
    said = client.post(f"{path}/accept", data=form)

    assert "One yes is given already." in text_of(page) and "Harriet" not in text_of(page)
    assert f"{path}/accept" not in page.get_data(as_text=True)
    assert said.status_code == 409
