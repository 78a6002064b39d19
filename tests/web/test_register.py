"""The office's register as a page and as a file that no spreadsheet takes for formulas."""

from __future__ import annotations

import csv
import io

import pytest

from portal.core.sheets.inert import unguarded
from tests.parts.warranties import treated_with
from tests.web.visits import Visits, text_of

pytestmark = pytest.mark.slow


def test_a_filter_stays_in_its_field_and_in_the_way_on_to_the_file(visits: Visits) -> None:
    treated_with(visits.house, "Lot 1", "BL-204")
    treated_with(visits.house, "Lot 2", "BL-207")
    client = visits.by(visits.house.office)

    answer = client.get("/office/warranties?container=bl+204&year=2027&state=held")

    said = text_of(answer)
    assert "Lot 1" in said and "Lot 2" not in said and "One warranty" in said
    page = answer.get_data(as_text=True)
    assert 'value="bl 204"' in page and "held, not yet in force (1)" in said and "2027 (1)" in said
    assert "/office/warranties.csv?container=bl+204&amp;year=2027&amp;state=held" in page


@pytest.mark.parametrize("query", ["year=20x7", "year=99999", "state=lost", "builder=x", "year=²"])
def test_what_cannot_be_asked_for_breaks_nothing(visits: Visits, query: str) -> None:
    answer = visits.by(visits.house.office).get(f"/office/warranties?{query}")
    assert answer.status_code == 200


def test_a_page_that_no_page_leads_to_is_not_there(visits: Visits) -> None:
    assert visits.by(visits.house.office).get("/office/warranties?after=yesterday").status_code == 404


def test_the_file_holds_every_warranty_and_no_live_formula(visits: Visits) -> None:
    """RFC 4180: lines end in CRLF; OWASP ASVS 5.0, 1.2.10: no cell begins like a formula."""
    lot = treated_with(visits.house, "=1+1", "=HYPERLINK(1)")
    treated_with(visits.house, 'Lot 2, by the "creek"', "BL-204")

    answer = visits.by(visits.house.office).get("/office/warranties.csv")

    assert answer.mimetype == "text/csv" and "warranty-register.csv" in answer.headers["Content-Disposition"]
    text = answer.get_data().decode("utf-8-sig")
    assert text.endswith("\r\n") and text.count("\r\n") == 3 == text.count("\n")
    rows = list(csv.DictReader(io.StringIO(text)))
    assert {unguarded(row["Lot"]) for row in rows} == {"=1+1", 'Lot 2, by the "creek"'}
    assert not [cell for row in rows for cell in row.values() if cell[:1] in "=+-@" and cell]
    [one] = [row for row in rows if unguarded(row["Lot"]) == "=1+1"]
    assert one["Warranty number"] == visits.house.warranty(lot).number
    assert one["Treated on"] == "2027-05-04" and one["Technician"] == "Wendell Pike"


def test_the_file_holds_only_what_is_looked_at(visits: Visits) -> None:
    treated_with(visits.house, "Lot 1", "BL-204")
    treated_with(visits.house, "Lot 2", "BL-207")
    text = (
        visits.by(visits.house.office).get("/office/warranties.csv?container=BL-207").get_data(as_text=True)
    )
    assert "Lot 2" in text and "Lot 1" not in text
