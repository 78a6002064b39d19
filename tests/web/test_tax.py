"""Tax tables and exemptions through their pages."""

from __future__ import annotations

from datetime import timedelta

import pytest

from tests.web.visits import Visits, error_at, form_of, text_of

pytestmark = pytest.mark.slow

TABLE = {
    "jurisdiction": "Alder County", "rates[0].name": "State", "rates[0].percent": "6",
    "rates[1].name": "City", "rates[1].percent": "1.25", "taxed": ["treatment", "second_coat", "minimum"],
    "rounding": "line", "parts": "apart",
}  # fmt: skip


def test_an_owner_enters_a_table_and_the_page_shows_it(visits: Visits) -> None:
    owner = visits.by(visits.house.owner)
    sent = form_of(owner.get("/office/tax/table"), "") | TABLE

    assert owner.post("/office/tax/table", data=sent).status_code == 302

    said = text_of(owner.get("/office/tax"))
    for words in ("Alder County", "State", "1.25%", "7.25%", "Ask your adviser", "everywhere else",
                  "The call-out", "line by line, and then added up", "each part by itself"):  # fmt: skip
        assert words in said, words
    prefilled = form_of(owner.get("/office/tax/table?of=" + _id(visits)), "")
    assert prefilled["rates[1].percent"] == "1.25"
    assert prefilled["jurisdiction"] == "Alder County"


def _id(visits: Visits) -> str:
    from portal.acts.tax_tables import tax_tables

    return tax_tables(visits.house.parts, visits.house.owner).jurisdictions[0].id


def test_what_is_wrong_is_told_at_its_field_and_kept(visits: Visits) -> None:
    owner = visits.by(visits.house.owner)
    sent = form_of(owner.get("/office/tax/table"), "") | TABLE | {"rates[1].percent": "a lot"}

    answer = owner.post("/office/tax/table", data=sent)

    assert answer.status_code == 422
    assert "“a lot”" in error_at(answer, "rates-1-percent")
    assert form_of(answer, "")["rates[1].percent"] == "a lot"


def test_a_place_is_set_and_dropped(visits: Visits) -> None:
    owner = visits.by(visits.house.owner)
    owner.post("/office/tax/table", data=form_of(owner.get("/office/tax/table"), "") | TABLE)
    place = {"kind": "town", "town": "Marlow Ferry", "state": "IA", "jurisdiction": _id(visits)}

    assert owner.post("/office/tax/places", data=place | {"town": ""}).status_code == 422
    assert owner.post("/office/tax/places", data=place).status_code == 302
    assert "Marlow Ferry, IA" in text_of(owner.get("/office/tax"))

    owner.post("/office/tax/places/drop", data={"key": "town:ia/marlow ferry"})
    assert "Marlow Ferry, IA" not in text_of(owner.get("/office/tax"))


def test_a_certificate_is_entered_printed_and_withdrawn(visits: Visits) -> None:
    house = visits.house
    office, today = visits.by(house.office), house.parts.today()
    page = f"/office/builders/{house.builder.company_id}/exemptions"
    days = {"exemption-first_day": today.isoformat(),
            "exemption-last_day": (today + timedelta(days=20)).isoformat()}  # fmt: skip
    wrong = office.post(page, data=form_of(office.get(page), "") | {"exemption-number": "RX-77"})
    assert wrong.status_code == 422
    assert "as it stands on the certificate" in error_at(wrong, "exemption-first_day")

    sent = form_of(office.get(page), "") | {"exemption-number": "RX-77"} | days
    assert office.post(page, data=sent).status_code == 302

    assert "covers today" in text_of(office.get(page))
    assert "RX-77" in text_of(office.get("/office/today"))
    lot = house.sent()
    said = text_of(visits.by(house.builder).get(f"/lots/{lot}/quote"))
    assert "Exempt: certificate RX-77, valid until" in said
