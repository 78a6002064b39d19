"""The promise kept and handed on: trouble to its end, a warranty handed on twice, a renewal paid."""

from __future__ import annotations

import re
from collections.abc import Callable
from datetime import timedelta
from typing import Any

import pytest
from playwright.sync_api import BrowserContext

from portal.acts import holder_page, renewing
from portal.store.tables import Letter
from tests.acts.test_renewing import RENEWS
from tests.journeys.conftest import watched
from tests.journeys.looking import complaints
from tests.journeys.people import Arrive, Visitor, at_the_portal, enter, labelled
from tests.parts.house import House
from tests.parts.pictures import a_photo
from tests.parts.warranties import owned
from tests.web.visits import make_visits

pytestmark = [pytest.mark.journey, pytest.mark.timeout(240)]

ADA = "ada@example.org"


@pytest.fixture
def arrive(lite: House, serve: Callable[[Any], str], visitor: Callable[..., BrowserContext]) -> Arrive:
    """`arrive("terrence")`: somebody of the house, signed in, at a browser of their own; "" for nobody."""
    return at_the_portal(lite, serve(make_visits(lite, csrf=True).app), visitor)


def mailed(house: House, to: str, way: str) -> str:
    """The path of the newest link of a kind that was mailed to an address."""
    with house.parts.store.reading() as work:
        rows = work.session.query(Letter).filter_by(to=to).order_by(Letter.written_at)
        found = [one[0] for row in rows for one in re.findall(rf"(/warranty/{way}/[^\s]+)()", row.text)]
    return found[-1]


def at_house(house: House, lot: str) -> str:
    return house.warranty(lot).link.removeprefix(house.settings.base_url)


def test_trouble_goes_from_a_report_with_a_photo_to_its_end(lite: House, arrive: Arrive) -> None:
    lot = owned(lite, lite.paid())
    home, office = arrive(), arrive("terrence")
    said = watched(office.page)
    home.page.goto(at_house(lite, lot))
    home.follow("Report trouble")
    photo = {"name": "sill.jpg", "mimeType": "image/jpeg", "buffer": a_photo()}
    labelled(home.page, "Photos").set_input_files(photo)  # type: ignore[arg-type]
    labelled(home.page, "What you see, and where").fill("A soft sill by the back door.")
    enter(home.page, Your_name="Ada Roe", Mail_address=ADA)
    home.press("Report it")
    home.sees("Trouble reported: TB-2027-0001", "Keep the number.")

    office.page.goto("/office/trouble")
    office.follow("TB-2027-0001")
    labelled(office.page, "Words to whoever reported").fill("We come and look.")
    office.press("Answer")
    enter(office.page, Day=lite.parts.today().isoformat(), Who="Noor Vale")
    labelled(office.page, "Words to whoever reported").fill("At nine.")
    office.press("Book an inspection")
    found = office.page.get_by_role("region", name="What the inspection found")
    labelled(found, "Words to whoever reported").fill("Soft over two feet.")
    found.get_by_role("button", name="What the inspection found").click()
    office.page.get_by_label("covered", exact=True).check()
    office.page.get_by_role("group", name="What the terms say").get_by_role("checkbox").first.check()
    labelled(office.page, "Reasons, in words").fill("Decay in treated framing.")
    office.press("Decide")
    office.press("Make the re-treatment")
    office.sees("Made. Correct its walls", "The lot of the re-treatment")
    office.press("These walls are right: make it a job")
    office.sees("It is a job now: book it.")
    assert complaints(office.page) == []
    way = office.page.get_by_role("link", name="Book it").get_attribute("href")
    again = re.search(r"/office/lots/(\w+)", way or "")
    assert again is not None
    lite.book(again[1], lite.parts.today())
    lite.clock.turn_to(lite.parts.today(), 18)
    lite.mark(again[1], lite.entry(again[1]))  # sprayed: the stop itself is walked in test_field_pages.py

    for sheet, says in (("invoice", "it is covered by the warranty"), ("warranty", "no warranty of its own")):
        office.page.goto(f"/office/lots/{again[1]}/{sheet}")
        office.sees("It is treated again under its warranty", says)
    office.page.goto("/office/trouble")
    office.follow("TB-2027-0001")
    office.sees("Something was done", "Treated again. The treatment record of it is TR-2027-0002.")
    labelled(office.page, "Words to whoever reported").fill("That was all of it.")
    office.press("Close")
    assert ("trouble_told", ADA) in lite.letters()
    home.page.goto(at_house(lite, lot))
    home.sees("It was treated again under this warranty: TR-2027-0002", "The report of trouble was closed.")
    assert said == []


def hand_on(lite: House, office: Visitor, lot: str, path: str, holder: Visitor, to: str, name: str) -> str:
    """The holder asks, the office has seen what the terms ask for, the next owner takes it over."""
    holder.page.goto(path)
    enter(holder.page, Name_of_the_next_owner=name, Their_mail_address=to)
    labelled(holder.page, "Day of closing").fill(lite.parts.today().isoformat())
    holder.press("Hand it on")
    office.page.goto(f"/office/lots/{lot}/handed-on")
    seen = office.page.get_by_role("button", name="It was seen: write to the next owner")
    if seen.count():
        office.page.get_by_role("form", name="What was seen").locator("textarea").first.fill("The deed.")
        seen.click()
    lite.clock.pass_by(minutes=1)
    holder.page.goto(mailed(lite, to, "handed"))
    holder.press("Take it over")
    holder.sees("The warranty is yours.", name)
    return holder.page.url


def test_a_warranty_is_handed_on_twice_and_each_old_holder_is_shut_out(lite: House, arrive: Arrive) -> None:
    lot = owned(lite, lite.paid())
    office, ada, ben, cleo = arrive("terrence"), arrive(), arrive(), arrive()
    first = mailed(lite, ADA, "mine")
    ada.page.goto(first)
    ada.sees("Ada Roe", "The house is sold", "What is kept of you")
    assert complaints(ada.page) == []
    lite.clock.pass_by(days=30)

    hand_on(lite, office, lot, first, ben, "ben@example.org", "Ben Cole")
    lite.clock.pass_by(days=400)
    holder_page.ask_link(lite.parts, lite.warranty(lot).number, "ben@example.org", "203.0.113.9")
    holder_page.answer_link_asks(lite.parts)
    second = mailed(lite, "ben@example.org", "mine")
    office.sign_in("terrence@example.com")  # a sign-in does not last a year
    third = hand_on(lite, office, lot, second, cleo, "cleo@example.org", "Cleo Tarn")

    for old, link in ((ada, first), (ben, second)):
        old.page.goto(link)
        old.sees("This link is over")
    cleo.page.goto(third)
    cleo.sees("Cleo Tarn", "Holders before")
    assert "Ada" not in cleo.page.content() and "Ben" not in cleo.page.content()
    office.page.goto(f"/office/lots/{lot}/handed-on")
    office.sees("Ada Roe", "Ben Cole", "Cleo Tarn")
    assert complaints(office.page) == []


def test_a_renewal_is_taken_up_looked_at_billed_and_paid(lite: House, arrive: Arrive) -> None:
    with lite.parts.store.reading() as work:
        from portal.store import quotes

        terms = dict(quotes.edition_on(work, "terms", lite.parts.today()).document)
    lite.enter("terms", terms | {"years": 10} | RENEWS)
    lot = owned(lite, lite.paid())
    ends = lite.warranty(lot).ends_on
    assert ends is not None
    lite.clock.turn_to(ends - timedelta(days=40))
    renewing.offer_renewals(lite.parts)  # as the worker does every day
    home, office = arrive(), arrive("terrence")

    home.page.goto(mailed(lite, ADA, "renew"))
    home.sees("Renew the warranty", "$180.00", "somebody looks at the house")
    assert complaints(home.page) == []
    home.press("Take it up")
    home.sees("Taken up.", "The office writes to you")
    office.page.goto("/office/renewals")
    office.page.get_by_role("link", name=lite.warranty(lot).number).click()
    looked = office.page.get_by_role("form", name="What the look at the house found")
    looked.get_by_label("Looked at on").fill(lite.parts.today().isoformat())
    looked.get_by_label("By whom").fill("Noor Vale")
    looked.get_by_label("the next term can begin").check()
    looked.get_by_label("What was found").fill("Dry, and nothing cut.")
    looked.get_by_role("button", name="Keep it").click()
    office.sees("Kept, and told to the holder.", "To be paid")
    assert complaints(office.page) == []
    bill = home.page.request.get(mailed(lite, ADA, "bill"))
    assert bill.ok and bill.headers["content-type"] == "application/pdf"

    office.page.goto("/office/payments")
    row = office.page.get_by_role("row").filter(has_text="Ada Roe")
    owed = re.search(r"\$([\d.]+)", row.inner_text())
    assert owed is not None and owed[1] == "192.60", "180.00 and the rate book's 7 percent"
    row.get_by_role("link", name=re.compile("Ada Roe")).click()
    form = office.page.get_by_role("form", name="Record a payment")
    enter(form, Amount=owed[1], Reference="4410")
    labelled(form, "How it was paid").select_option("Check")
    office.press("Record this payment", form)
    office.sees("The payment is recorded.")
    home.page.reload()
    home.sees("The warranty runs through")
    home.page.goto(at_house(lite, lot))
    home.sees("The warranty was renewed", str(ends.year + 5))
