"""Something found bad, in the office's pages: listed, words written, letters read, sent by a press."""

from __future__ import annotations

import pytest

from portal.acts import recalling
from tests.parts.warranties import owned, treated_with
from tests.web.visits import Visits, error_at, form_of, text_of

pytestmark = pytest.mark.slow

LOOK = {"recall-kind": "product lot", "recall-value": "BL-204"}
WORDS = {"recall-found": "It was too old.", "recall-to_do": "We come and look."}


def test_from_what_was_found_to_the_letter_that_leaves(visits: Visits) -> None:
    house = visits.house
    owned(house, treated_with(house, "Lot 1", "BL-204"))
    treated_with(house, "Lot 2", "BL-207")
    client = visits.by(house.office)

    listed = client.post("/office/recalls/new", data=LOOK)
    assert "Lot 1" in text_of(listed) and "Lot 2" not in text_of(listed)
    form = form_of(listed, "") | {"prepare": "yes"}
    missing = client.post("/office/recalls/new", data=form)
    assert missing.status_code == 422 and "Write what was found" in error_at(missing, "recall-found")
    assert "Lot 1" in text_of(missing)
    made = client.post("/office/recalls/new", data=form | WORDS)
    assert made.status_code == 303

    page = client.get(made.location)
    assert "2" in form_of(page, "/send")["seen"] and "Send all 2 letters" in text_of(page)
    assert not [one for one in house.letters() if one[0].startswith("recall")]
    sent = client.post(f"{made.location}/send", data=form_of(page, "/send"))
    assert sent.status_code == 303 and "2 letters are on their way." in text_of(client.get(sent.location))
    assert {to for kind, to in house.letters() if kind.startswith("recall")} == {
        "ada@example.org", "harriet@example.com",
    }  # fmt: skip
    again = client.post(f"{made.location}/send", data={"seen": "2"})
    assert again.status_code == 409 and "0 letters wait now" in text_of(again)
    assert "2 sent" in text_of(client.get("/office/recalls"))


def test_another_number_typed_over_the_list_prepares_nothing(visits: Visits) -> None:
    treated_with(visits.house, "Lot 1", "BL-204")
    treated_with(visits.house, "Lot 2", "BL-207")
    client = visits.by(visits.house.office)
    form = form_of(client.post("/office/recalls/new", data=LOOK), "") | WORDS | {"prepare": "yes"}

    answer = client.post("/office/recalls/new", data=form | {"recall-value": "BL-207"})

    assert answer.status_code == 409 and "These are not the houses" in text_of(answer)
    assert "Lot 2" in text_of(answer) and form_of(answer, "")["recall-found"] == "It was too old."


def test_what_no_record_names_is_said_so(visits: Visits) -> None:
    answer = visits.by(visits.house.office).post("/office/recalls/new", data=LOOK)
    assert answer.status_code == 200 and "No record names it." in text_of(answer)


def test_a_long_list_is_turned_page_by_page_and_keeps_what_was_typed(
    visits: Visits, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(recalling, "PAGE", 1)
    for name in ("Lot 1", "Lot 2"):
        treated_with(visits.house, name, "BL-204")
    client = visits.by(visits.house.office)
    listed = client.post("/office/recalls/new", data=LOOK)
    here, other = ("Lot 1", "Lot 2") if "Lot 1" in text_of(listed) else ("Lot 2", "Lot 1")
    assert here in text_of(listed) and other not in text_of(listed)
    assert 'name="page" value="2"' in listed.text

    further = client.post("/office/recalls/new", data=form_of(listed, "") | WORDS | {"page": "2"})

    assert other in text_of(further) and here not in text_of(further) and "Page 2 of 2" in text_of(further)
    assert form_of(further, "")["recall-found"] == "It was too old."
    made = client.post("/office/recalls/new", data=form_of(further, "") | WORDS | {"prepare": "yes"})
    page = client.get(f"{made.location}?houses=2&letters=none")
    assert other in text_of(page) and 'href="' + made.location + "?letters=1&amp;houses=1" in page.text
