"""What new rates would have made of the quotes sent last: to the cent, and nothing where nothing changed.

Amounts by hand. The ranch has 296 ft, of it 57 sided and 27 wrapped. By the rates of tests/parts/house.py:
296 × 1.45 = 429.20, 57 × 0.60 = 34.20, 27 × 0.25 = 6.75, call-out 35.00, together 505.15; 7 % tax are 35.36.
"""

from __future__ import annotations

from decimal import Decimal
from typing import Any

import pytest

from portal.acts import agreeing, foreseeing, lot_terms, quoting
from portal.acts.agreeing import AgreementAsked
from portal.acts.foreseeing import Again, foresee
from tests.parts.house import RATES, House, ranch
from tests.parts.packages import L100, TOGETHER, lots_of, packed, sent_package
from tests.parts.refusals import problems

pytestmark = pytest.mark.slow

D = Decimal
RANCH = D("540.51")
#: 60 ft of exterior wall and none inside.
SHED: dict[str, Any] = ranch(siding="open", interior="0") | {}
SHED["levels"][0]["outline"]["rectangles"][0] |= {"width": "20", "depth": "10"}


def agreed(house: House, subdivision: str = "", **document: Any) -> str:
    """An agreement with the builder from today on; its number."""
    asked = AgreementAsked(house.builder.company_id or "", subdivision, house.parts.today(), None, document)
    return agreeing.agree(house.parts, house.owner, asked, house.key())


def seen(house: House, **rates: Any) -> list[Again]:
    """The last quotes by the usual rates with these changes."""
    return list(foresee(house.parts, house.owner, RATES | rates))


def only(house: House, **rates: Any) -> tuple[Decimal, Decimal | None]:
    """The one quote, then and by these rates."""
    (one,) = seen(house, **rates)
    return one.before, one.after


def test_every_figure_counts(lite: House) -> None:
    """By hand: 296.00 + 57.00 + 13.50 + 50.00 = 416.50, less 41.65; 374.85 and 8 %, 29.988, are 404.84."""
    lite.sent()

    (one,) = seen(
        lite, bands=[{"per_foot": "1"}], second_coat_per_foot="1", unwrap_per_foot="0.5", call_out="50",
        discount_percent="10", tax_percent="8",
    )  # fmt: skip

    assert (one.before, one.after, one.difference) == (RANCH, D("404.84"), D("-135.67"))


def test_a_crawl_space_is_charged_where_there_is_one(lite: House) -> None:
    """By hand: 60.00 and 296 × 0.10 are 89.60 more; 594.75 with 7 %, 41.6325, are 636.38."""
    lite.sent(foundation="crawl space")
    lite.sent()

    slab, crawl = seen(lite, crawl_space="60", crawl_space_per_foot="0.10")

    assert (crawl.before, crawl.after) == (RANCH, D("636.38"))
    assert (slab.before, slab.after) == (RANCH, RANCH)


def test_a_lot_is_as_far_as_it_was_on_its_quote(lite: House) -> None:
    """By hand: 80.00 for 35.00; 550.15 with 7 %, 38.5105, are 588.66. Without miles the call-out stands."""
    far = lite.to_check()
    lot_terms.set_miles(lite.parts, lite.office, far, lite.version(far), "24")
    lite.sent(lite.approved(far))
    lite.sent(subdivision="")

    distances = [{"up_to_miles": "15", "charge": "30"}, {"charge": "80"}]
    unknown, known = seen(lite, call_out_by_miles=distances)

    assert known.after == D("588.66")
    assert unknown.after == RANCH


def test_a_small_lot_s_minimum(lite: House) -> None:
    """By hand: 60 × 1.45 + 35.00 = 122.00. 395.00 and 7 % are 422.65; 240.00 and 7 % are 256.80."""
    lite.sent(house=SHED)

    assert only(lite, small_lot_feet="150", small_lot_minimum="240") == (D("422.65"), D("256.80"))


def test_an_agreed_percentage_holds_against_a_new_discount_that_is_less(lite: House) -> None:
    """By hand: 505.15 less 50.52 is 454.63, with tax 486.45; 520.15 less 52.02 is 468.13, with 32.77 500.90.

    A discount of 20 % is the better of the two: 505.15 less 101.03 is 404.12, with 28.29 tax 432.41.
    """
    agreed(lite, percent="10")
    lite.sent()

    assert only(lite, call_out="50", discount_percent="4") == (D("486.45"), D("500.90"))
    assert only(lite, discount_percent="20") == (D("486.45"), D("432.41"))


def test_agreed_bands_hold_whatever_the_new_ones_are(lite: House) -> None:
    """By hand: 296.00 + 34.20 + 6.75 + 35.00 = 371.95, so the minimum: 395.00 and 7 %."""
    agreed(lite, bands=[{"per_foot": "1"}])
    lite.sent()

    assert only(lite, bands=[{"per_foot": "9"}]) == (D("422.65"), D("422.65"))


def test_an_extra_line_stays_what_it_was(lite: House) -> None:
    """By hand: 530.15 and 7 %, 37.1105, are 567.26; 545.15 and 38.1605 are 583.31."""
    lot = lite.to_check()
    quoting.add_extra(lite.parts, lite.office, lot, lite.version(lot), "Porch", "It has one.", "25.00")
    lite.sent(lite.approved(lot))

    assert only(lite, call_out="50") == (D("567.26"), D("583.31"))


def test_in_a_package_the_slices_run_over_the_lots_they_ran_over_then(lite: House) -> None:
    """By hand: 888 ft are 1,140.60, 380.20 a lot; 395.00 at least, with 7 % 422.65. Without a minimum 406.81.

    With each lot's own slices it is 429.20, and 7 %, 30.044, are 459.24.
    """
    lite.enter("rates", TOGETHER)
    sent_package(lite)

    def all_of(**rates: Any) -> set[tuple[Decimal, Decimal | None]]:
        return {(one.before, one.after) for one in foresee(lite.parts, lite.owner, TOGETHER | rates)}

    assert all_of(minimum="0") == {(D("422.65"), D("406.81"))}
    assert all_of(minimum="0", slices_over="lot") == {(D("422.65"), D("459.24"))}


def test_two_lots_of_one_name_in_a_package_each_have_their_own_share(lite: House) -> None:
    """By hand: 296 + 592 ft are 1,140.60, shared 380.20 and 760.40; with 7 % 406.81 and 813.63."""
    lite.enter("rates", TOGETHER | {"minimum": "0"})
    twice = ranch(siding="open", interior="424")
    alike = [
        lite.asked(name="Lot 1", subdivision=where, house=house)
        for where, house in (("Quarry Bend", L100), ("Tamarack Ford", twice))
    ]
    sent_package(lite, packed(lite, alike))

    found = foresee(lite.parts, lite.owner, TOGETHER | {"minimum": "0"})

    assert {one.before for one in found} == {D("406.81"), D("813.63")}
    assert [one.difference for one in found] == [D("0.00"), D("0.00")]


def test_rates_as_they_are_change_nothing_whatever_a_quote_depends_on(lite: House) -> None:
    rates: dict[str, Any] = TOGETHER | {
        "minimum": "200", "crawl_space": "60", "crawl_space_per_foot": "0.07", "call_out": "35",
        "small_lot_feet": "150", "small_lot_minimum": "140", "discount_percent": "3", "same_day_off": "20",
        "call_out_by_miles": [{"up_to_miles": "15", "charge": "30"}, {"charge": "80"}],
        "extras": [{"name": "Garage sills", "by": "foot", "price": "0.85"}],
    }  # fmt: skip
    lite.enter("rates", rates)
    agreed(lite, percent="7.5")
    agreed(lite, "Tamarack Ford", bands=[{"up_to_feet": "100", "per_foot": "1.333"}, {"per_foot": "1.1"}])
    for changes in ({}, {"foundation": "crawl space"}, {"house": SHED}, {"subdivision": "Tamarack Ford"}):
        lite.sent(**changes)
    lite.sent(by=lite.rival)
    far = lite.to_check()
    lot_terms.set_miles(lite.parts, lite.office, far, lite.version(far), "24.5")
    lot_terms.add_listed(lite.parts, lite.office, far, lite.version(far), "Garage sills", "41.5")
    lite.sent(lite.approved(far))
    mixed = [
        lite.asked(house=L100), lite.asked(house=L100, subdivision="Tamarack Ford"),
        lite.asked(house=ranch(), foundation="crawl space"),
    ]  # fmt: skip
    package = sent_package(lite, packed(lite, mixed))
    assert len(lots_of(lite, package)) == 3

    found = foresee(lite.parts, lite.owner, rates)

    assert len(found) == 9 and len({one.before for one in found}) > 6
    assert [one.difference for one in found] == [D("0.00")] * 9


def test_a_jurisdiction_s_tax_stays_what_it_was(lite: House) -> None:
    from tests.acts.test_taxing import enter

    enter(lite)
    lite.sent()

    # 505.15 with 36.62 (tests/acts/test_taxing.py); the rate book's own percentage says nothing here.
    assert only(lite) == (D("541.77"), D("541.77"))
    assert only(lite, tax_percent="50") == (D("541.77"), D("541.77"))


def test_a_quote_in_another_currency_is_not_compared(lite: House) -> None:
    lite.sent()

    (one,) = seen(lite, currency="CAD")

    assert (one.before, one.after, one.difference) == (RANCH, None, None)


def test_the_last_that_were_sent_newest_first_and_no_draft(
    lite: House, monkeypatch: pytest.MonkeyPatch
) -> None:
    sent = []
    for _ in range(3):
        sent.append(lite.sent())
        lite.clock.pass_by(minutes=1)
    lite.approved()

    assert [one.lot_id for one in seen(lite)] == sent[::-1]
    assert foreseeing.MOST_QUOTES == 50
    monkeypatch.setattr(foreseeing, "MOST_QUOTES", 2)
    assert [one.lot_id for one in seen(lite)] == [sent[2], sent[1]]


def test_rates_that_could_not_be_entered_are_told_at_their_fields(lite: House) -> None:
    lite.sent()

    assert list(problems(lambda: seen(lite, minimum="-1"))) == ["rates.minimum"]
