"""The rate book through its pages."""

from __future__ import annotations

import html
import re
from datetime import timedelta

import pytest
from flask.testing import FlaskClient

from portal.acts import editions
from portal.acts.editions import REMIND_DAYS
from portal.core.cover.kept import USUAL_YEARS
from portal.core.cover.promised import promised
from portal.core.crewdays.hours import USUAL_TRAVEL
from portal.core.documents.notice import DEFAULT
from portal.core.money.terms_entered import FIELDS, USUAL_LIMIT, USUAL_PREFIX
from portal.core.pricing.margin import KEYS
from portal.core.pricing.rates import Rates, read_rates
from portal.core.treatment.crew import Crew, read_crew
from portal.core.treatment.product import Product, read_product
from tests.web.visits import Visits, error_at, form_of, text_of

pytestmark = pytest.mark.slow

KINDS = ("rates", "product", "crew", "terms", "firm")


@pytest.fixture
def owner(visits: Visits) -> FlaskClient:
    """The owner at their browser."""
    return visits.by(visits.house.owner)


def form(client: FlaskClient, kind: str) -> dict[str, str]:
    """The form of a new edition, as it is filled in."""
    return form_of(client.get(f"/office/rates/{kind}"), "")


def enter(client: FlaskClient, kind: str, **changes: str):  # type: ignore[no-untyped-def]
    """Send a new edition with changes by path; of rates, under what they change."""
    typed = form(client, kind) | changes
    if kind == "rates":
        page = see(client, typed)
        if page.status_code != 200:
            return page
        typed = form_of(page, "") | {"press": "enter"}
    return client.post(f"/office/rates/{kind}", data=typed)


def see(client: FlaskClient, typed: dict[str, str]):  # type: ignore[no-untyped-def]
    """What typed rates would change."""
    return client.post("/office/rates/rates", data=typed | {"press": "see"})


def newest(visits: Visits, kind: str) -> editions.EditionView:
    """The newest edition of a kind."""
    return editions.rate_book(visits.house.parts, visits.house.owner)[kind][0]


@pytest.mark.parametrize("kind", KINDS)
def test_an_edition_sent_as_it_is_filled_in_says_what_the_one_before_said(
    visits: Visits, owner: FlaskClient, kind: str
) -> None:
    before = newest(visits, kind)

    answer = enter(owner, kind)

    after = newest(visits, kind)
    assert answer.status_code == 302
    assert after.number == before.number + 1
    assert _read(kind, after.document) == _read(kind, before.document)


def _read(kind: str, document):  # type: ignore[no-untyped-def]
    if kind == "product":
        beside = {key: value for key, value in document.items() if key != "figures"}
        return read_product(document["figures"]), beside
    if kind == "firm":
        left_out = {
            "remind_days": REMIND_DAYS,
            "answer_days": 3,
            "forget_days": 180,
            "days_off": [],
            "travel_minutes": USUAL_TRAVEL,
        }
        billed = dict.fromkeys(FIELDS, "") | {"due_from": "issue", "bill_per": "lot"}
        billed |= {"retained_limit": USUAL_LIMIT, "invoice_prefix": USUAL_PREFIX, "tax_number": ""}
        billed |= dict.fromkeys(KEYS, "")
        return left_out | {"keep_years": USUAL_YEARS, "notice_size": DEFAULT} | billed | document
    if kind == "terms":
        asked = {key: document[key] for key in editions.REQUIRED["terms"]}
        return asked | promised(document, "USD")
    return {"rates": read_rates, "crew": read_crew}.get(kind, dict)(document)


def test_what_an_edition_leaves_out_is_filled_in_with_the_engines_defaults(owner: FlaskClient) -> None:
    crew, product, rates = form(owner, "crew"), form(owner, "product"), form(owner, "rates")

    assert crew["crew.spray_feet_per_hour"] == str(Crew().spray_feet_per_hour)
    assert product["product.dry_minutes"] == str(Product().dry_minutes)
    assert product["product.first_water_share"] == "0.75"
    assert rates["rates.bands[0].per_foot"] == "1.45"
    assert rates["rates.bands[2].up_to_feet"] == ""
    assert Rates().bands[2].up_to_feet is None


def test_bands_are_entered_as_rows_and_empty_rows_are_left_out(visits: Visits, owner: FlaskClient) -> None:
    changes = {"rates.bands[1].up_to_feet": "", "rates.bands[1].per_foot": "",
               "rates.bands[2].up_to_feet": "800", "rates.bands[2].per_foot": "1.10",
               "rates.bands[3].per_foot": "0.90"}  # fmt: skip

    enter(owner, "rates", **changes)

    assert newest(visits, "rates").document["bands"] == [
        {"up_to_feet": "300", "per_foot": "1.45"},
        {"up_to_feet": "800", "per_foot": "1.10"},
        {"per_foot": "0.90"},
    ]


@pytest.mark.parametrize(
    ("kind", "path", "typed", "said"),
    [
        ("rates", "rates.bands[0].per_foot", "cheap", "must be a number"),
        ("rates", "rates.bands[1].up_to_feet", "200", "Bands ascend"),
        ("rates", "rates.bands[0].up_to_feet", "", "must be a number"),
        ("rates", "rates.bands[2].up_to_feet", "5000", "The last band has no end"),
        ("rates", "rates.tax_percent", "101", "must not be over 100"),
        ("rates", "rates.minimum", "-1", "must not be under 0"),
        ("rates", "rates.currency", "dollars", "three capital letters"),
        ("product", "product.feet_per_gallon", "0", "must be over 0"),
        ("product", "product.first_water_share", "1.5", "must not be over 1"),
        ("product", "product.containers[1].cost", "", "must be a number"),
        ("product", "product.name", "", "1 to 200 characters"),
        ("product", "registration", "", "This is missing."),
        ("crew", "crew.sprayers", "21", "whole number from 1 to 20"),
        ("crew", "crew.unwrap_feet_per_hour", "0", "must be over 0"),
        ("terms", "years", "ten", "whole number from 1 to 100"),
        ("terms", "covers", "", "at least one line"),
        ("terms", "repair_up_to", "100.00", "goes with repair only"),
        ("terms", "renewals", "often", "whole number from 0 to 20"),
        ("terms", "transfer_fee", "a lot", "must be a number"),
        ("terms", "title", "", "This is missing."),
        ("firm", "quote_days", "0", "whole number from 1 to 365"),
        ("firm", "net_days", "soon", "whole number from 0 to 365"),
        ("firm", "address", "", "This is missing."),
        ("rates", "first_day", "someday", "is no day"),
        ("rates", "first_day", "2020-01-01", "begins today or later"),
    ],
)
def test_what_cannot_be_used_is_told_beside_its_field_and_everything_typed_is_kept(
    visits: Visits, owner: FlaskClient, kind: str, path: str, typed: str, said: str
) -> None:
    before = newest(visits, kind).number

    page = enter(owner, kind, **{path: typed})

    assert page.status_code == 422
    assert said in error_at(page, path)
    assert form_of(page, "")[path] == typed
    assert newest(visits, kind).number == before


def test_a_choice_that_is_none_is_told(owner: FlaskClient) -> None:
    page = enter(owner, "terms", release="never")

    assert page.status_code == 422
    assert error_at(page, "release") == "Choose what brings a warranty into force."


def test_all_containers_left_out_is_told_at_the_rows(owner: FlaskClient) -> None:
    rows = {f"product.containers[{i}].{key}": "" for i in range(4) for key in ("gallons", "cost")}

    page = enter(owner, "product", **rows)

    assert page.status_code == 422
    assert "1 to 12 containers are needed here, not 0" in text_of(page)


def test_an_edition_sent_twice_is_one_edition(visits: Visits, owner: FlaskClient) -> None:
    filled = form_of(see(owner, form(owner, "rates") | {"rates.minimum": "420"}), "") | {"press": "enter"}

    owner.post("/office/rates/rates", data=filled)
    owner.post("/office/rates/rates", data=filled)

    assert [e.number for e in editions.rate_book(visits.house.parts, visits.house.owner)["rates"]] == [2, 1]


def test_an_edition_of_a_later_day_is_shown_as_to_come_and_holds_from_then(
    visits: Visits, owner: FlaskClient
) -> None:
    first_day = visits.house.parts.today() + timedelta(days=10)

    enter(owner, "rates", **{"rates.minimum": "420.00", "first_day": first_day.isoformat()})

    assert "Edition 2, from May 14, 2027, to come" in text_of(owner.get("/office/rates"))
    book = editions.rate_book(visits.house.parts, visits.house.owner)["rates"]
    holds = [editions.holding(book, first_day - timedelta(days=back)) for back in (1, 0)]
    assert [edition.number for edition in holds if edition] == [1, 2]


def test_a_term_without_years_is_the_life_of_the_structure(visits: Visits, owner: FlaskClient) -> None:
    enter(owner, "terms", years="")

    assert newest(visits, "terms").document["years"] is None
    assert "the life of the structure" in text_of(owner.get("/office/rates"))


def test_who_is_no_owner_sees_the_rate_book_and_cannot_change_it(visits: Visits, owner: FlaskClient) -> None:
    office = visits.by(visits.house.office)
    page = office.get("/office/rates")

    assert "Only an owner enters a new edition." in text_of(page)
    assert "/office/rates/rates" not in page.get_data(as_text=True)
    assert office.get("/office/rates/rates").status_code == 403
    assert office.post("/office/rates/rates", data=form(owner, "rates")).status_code == 403
    assert newest(visits, "rates").number == 1


def test_the_rate_book_says_whose_figures_these_are(owner: FlaskClient) -> None:
    assert "Rates, tax and terms are what the office enters." in text_of(owner.get("/office/rates"))


def cells(page) -> list[list[str]]:  # type: ignore[no-untyped-def]
    """The cells of the table of what new rates change, with its foot, without its head."""
    part = page.get_data(as_text=True).partition('id="h-foreseen"')[2].partition("</section>")[0]
    rows = re.findall(r"<tr.*?</tr>", part, re.DOTALL)[1:]
    found = [re.findall(r"<t[hd]\b[^>]*>(.*?)</t[hd]>", row, re.DOTALL) for row in rows]
    return [[html.unescape(re.sub(r"<[^>]+>", "", cell)).strip() for cell in row] for row in found]


def test_rates_are_entered_only_under_what_they_change(visits: Visits, owner: FlaskClient) -> None:
    visits.house.sent()
    typed = form(owner, "rates") | {"rates.call_out": "50.00"}

    unseen = owner.post("/office/rates/rates", data=typed | {"press": "enter"})
    shown = form_of(unseen, "")
    changed = owner.post("/office/rates/rates", data=shown | {"press": "enter", "rates.call_out": "60.00"})

    assert (unseen.status_code, changed.status_code) == (200, 200)
    assert "What it changes" in text_of(unseen) and newest(visits, "rates").number == 1
    # The call-out was 35.00, the tax is 7 %: 15.00 more are 16.05, 25.00 more 26.75. Worked by hand.
    assert cells(unseen)[0][-1] == "+$16.05" and cells(changed)[0][-1] == "+$26.75"
    assert (
        owner.post("/office/rates/rates", data=form_of(changed, "") | {"press": "enter"}).status_code == 302
    )
    assert newest(visits, "rates").document["call_out"] == "60.00"


def test_rates_as_they_are_change_nothing_of_any_quote(visits: Visits, owner: FlaskClient) -> None:
    for foundation in ("slab", "crawl space"):
        visits.house.sent(foundation=foundation)

    rows = cells(see(owner, form(owner, "rates")))

    assert [row[-1] for row in rows] == ["none", "none", "none"]
    assert "More: 0. Less: 0. The same: 2." in text_of(see(owner, form(owner, "rates")))


def test_new_rates_leave_what_was_sent_as_it_was(visits: Visits, owner: FlaskClient) -> None:
    lot = visits.house.sent()
    before = visits.house.sheet(lot).revisions[0].document

    enter(owner, "rates", **{"rates.minimum": "4000"})

    after = visits.house.sheet(lot).revisions[0].document
    assert before == after and after is not None and after.rate_edition == 1


@pytest.mark.parametrize(
    ("path", "typed", "said"),
    [
        ("rates.call_out_by_miles[0].up_to_miles", "far", "must be a number"),
        ("rates.call_out_by_miles[1].up_to_miles", "5", "Distances ascend"),
        ("rates.call_out_by_miles[2].up_to_miles", "90", "The last distance has no end"),
        ("rates.call_out_by_miles[2].charge", "-1", "must not be under 0"),
        ("rates.extras[1].name", "gable vent", "is on the list already"),
        ("rates.extras[1].name", "", "1 to 200 characters"),
        ("rates.extras[0].price", "", "must be a number"),
        ("rates.extras[0].by", "dozen", "must be one of piece, foot"),
        ("rates.small_lot_minimum", "500", "no higher than the usual one"),
        ("rates.same_day_call_out", "never", "must be one of each, once"),
    ],
)
def test_what_of_the_further_terms_cannot_be_used_is_told_beside_its_field(
    visits: Visits, owner: FlaskClient, path: str, typed: str, said: str
) -> None:
    further = {
        "rates.call_out_by_miles[0].up_to_miles": "10", "rates.call_out_by_miles[0].charge": "25",
        "rates.call_out_by_miles[1].up_to_miles": "30", "rates.call_out_by_miles[1].charge": "60",
        "rates.call_out_by_miles[2].up_to_miles": "", "rates.call_out_by_miles[2].charge": "110",
        "rates.extras[0].name": "Gable vent", "rates.extras[0].by": "piece", "rates.extras[0].price": "18.50",
        "rates.extras[1].name": "Porch beam", "rates.extras[1].by": "foot", "rates.extras[1].price": "2.25",
        "rates.small_lot_feet": "200", "rates.small_lot_minimum": "250",
    }  # fmt: skip

    page = enter(owner, "rates", **(further | {path: typed}))

    assert page.status_code == 422
    assert said in error_at(page, path)
    assert newest(visits, "rates").number == 1
