"""The first owner is named on the warranty sheet, and what was typed wrong stays in the form."""

from __future__ import annotations

import pytest

from tests.web.visits import Visits, error_at, form_of, text_of

pytestmark = pytest.mark.slow

TYPED = {"owner-person": "Ada Roe", "owner-email": "ada@example.org", "owner-since": "2027-05-04"}


@pytest.mark.parametrize(("who", "sheet", "action"), [
    ("builder", "/lots/{}/warranty", "/warranty/owner"), ("office", "/office/lots/{}/warranty", "/owner"),
])  # fmt: skip
def test_an_owner_is_named_by_whoever_may(visits: Visits, who: str, sheet: str, action: str) -> None:
    lot = visits.house.treated()
    browser = visits.by(getattr(visits.house, who))
    page = browser.get(sheet.format(lot))
    assert "No owner is named yet" in text_of(page)
    form = form_of(page, action)
    address = sheet.format(lot) + "/owner" if who == "builder" else f"/office/lots/{lot}/owner"

    wrong = browser.post(address, data=form | TYPED | {"owner-since": "2028-01-01"})

    assert wrong.status_code == 422 and "still to come" in error_at(wrong, "owner-since")
    assert form_of(wrong, action)["owner-person"] == "Ada Roe"
    done = browser.post(address, data=form_of(wrong, action) | TYPED)
    assert done.status_code == 303
    said = text_of(browser.get(done.location))
    assert "Ada Roe ada@example.org" in said and "The owner is named." in said
    assert "Name the first owner" not in said
    again = browser.post(address, data=form | TYPED | {"once_key": "another"})
    assert again.status_code == 409 and "named already" in text_of(again)


def test_whoever_looks_the_warranty_up_sees_nothing_of_the_owner(visits: Visits) -> None:
    lot = visits.house.paid()
    browser = visits.by(visits.house.builder)
    form = form_of(browser.get(f"/lots/{lot}/warranty"), "/warranty/owner")
    browser.post(f"/lots/{lot}/warranty/owner", data=form | TYPED)
    link = visits.house.warranty(lot).link.removeprefix(visits.house.settings.base_url)

    shown = visits.by(None).get(link).get_data(as_text=True)

    assert "Ada" not in shown and "example.org" not in shown.replace("portal.example.com", "")
