"""The terms of a rate book, each with amounts worked by hand; and that more feet never cost less.

Common practice, no source: what a crew charges by distance, for a crawl space or for a small lot is each
office's own. The amounts below are worked by hand from the rates beside them.
"""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from decimal import Decimal
from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from portal.core.errors import BadInput
from portal.core.pricing.agreement import Agreement, read_prices, winning
from portal.core.pricing.clause import Agreed, Difference, settle
from portal.core.pricing.lines import price
from portal.core.pricing.package import shares
from portal.core.pricing.rates import Rates, read_rates
from portal.core.pricing.same_day import same_day_off
from portal.core.pricing.site import AgreedPrices, Site, rates_at
from portal.core.words import say

MILES = [{"up_to_miles": "10", "charge": "25"}, {"up_to_miles": "30", "charge": "60"}, {"charge": "110.50"}]
FAR = read_rates({"minimum": "0", "call_out": "35", "call_out_by_miles": MILES})


def lines(rates: Rates, feet: int, sided: int = 0, wrapped: int = 0) -> dict[str, str]:
    """The lines of a price, by their keys."""
    found = price(Fraction(feet), Fraction(sided), Fraction(wrapped), rates)
    return {line.what: str(line.amount) for line in found.lines}


@pytest.mark.parametrize(
    ("miles", "amount"),
    [(None, "35.00"), ("0", "25.00"), ("10", "25.00"), ("10.1", "60.00"), ("30", "60.00"), ("31", "110.50")],
)
def test_the_call_out_follows_the_miles_and_stands_as_it_is_where_they_are_not_known(
    miles: str | None, amount: str
) -> None:
    site = Site(miles=None if miles is None else Fraction(miles))

    assert lines(rates_at(FAR, site), 100) == {"treatment": "145.00", "call_out": amount}


@pytest.mark.parametrize(
    ("job", "per_foot", "crawl_space", "amount"),
    [
        ("80", "0", True, "80.00"),
        ("0", "0.15", True, "45.15"),  # 301 × 0.15
        ("80", "0.15", True, "125.15"),
        ("80", "0.15", False, None),
        ("0", "0.005", True, "1.51"),  # 301 × 0.005 = 1.505, half up
    ],
)
def test_a_crawl_space_is_charged_where_there_is_one(
    job: str, per_foot: str, crawl_space: bool, amount: str | None
) -> None:
    rates = read_rates({"crawl_space": job, "crawl_space_per_foot": per_foot})

    assert lines(rates_at(rates, Site(crawl_space=crawl_space)), 301).get("crawl_space") == amount


@pytest.mark.parametrize(
    ("feet", "expected"),
    [
        (100, {"treatment": "145.00", "minimum": "105.00"}),  # up to 250
        (199, {"treatment": "288.55"}),  # over the small lot's minimum
        (200, {"treatment": "290.00", "minimum": "105.00"}),  # no small lot: up to 395
        (300, {"treatment": "435.00"}),
    ],
)
def test_a_small_lot_has_a_minimum_of_its_own(feet: int, expected: dict[str, str]) -> None:
    rates = read_rates({"small_lot_feet": "200", "small_lot_minimum": "250"})

    assert lines(rates, feet) == expected


def test_a_small_lots_minimum_is_no_higher_than_the_usual_one() -> None:
    with pytest.raises(BadInput) as bad:
        read_rates({"small_lot_feet": "200", "small_lot_minimum": "395.01"})

    assert [one.at for one in bad.value.problems] == ["rates.small_lot_minimum"]


def test_an_agreement_takes_the_place_of_the_bands_or_of_the_discount_where_it_is_better() -> None:
    bands = read_prices({"bands": [{"up_to_feet": "100", "per_foot": "1.30"}, {"per_foot": "1.10"}]})
    rates = read_rates({"discount_percent": "5", "minimum": "0"})

    # 100 × 1.30 + 201 × 1.10 = 351.10; 5 % off is 17.555, half up.
    agreed = price(Fraction(301), Fraction(0), Fraction(0), rates_at(rates, Site(agreement=bands)))
    assert (agreed.subtotal, agreed.discount, agreed.total) == (
        Decimal("351.10"), Decimal("17.56"), Decimal("333.54"),
    )  # fmt: skip
    for percent, holds in (("4", 5), ("5", 5), ("7.5", Fraction(15, 2))):
        found = rates_at(rates, Site(agreement=read_prices({"percent": percent})))
        assert found.discount_percent == holds and found.bands == rates.bands


@pytest.mark.parametrize(
    ("document", "at"),
    [
        ({}, "kind"), ({"percent": "5", "bands": [{"per_foot": "1"}]}, "kind"), ({"percent": "0"}, "percent"),
        ({"percent": "101"}, "percent"), ({"bands": []}, "bands"), ({"rebate": "5"}, ""),
        ({"bands": [{"up_to_feet": "100", "per_foot": "1"}, {"per_foot": "1.01"}]}, "bands"),
    ],
)  # fmt: skip
def test_what_cannot_be_agreed_on_is_told_at_its_field(document: dict[str, object], at: str) -> None:
    with pytest.raises(BadInput) as bad:
        read_prices(document)

    assert bad.value.problems[0].at.startswith(at)


@pytest.mark.parametrize(
    ("call_out", "off", "which", "comes_off"),
    [("35", "10", "each", "10.00"), ("35", "10", "once", "45.00"), ("35", "0", "once", "35.00"),
     ("35", "0", "each", "0.00")],
)  # fmt: skip
def test_what_comes_off_for_the_same_day(call_out: str, off: str, which: str, comes_off: str) -> None:
    rates = read_rates({"call_out": call_out, "same_day_off": off, "same_day_call_out": which})

    assert str(same_day_off(rates)) == comes_off


@pytest.mark.parametrize(
    ("charged", "minimum", "off", "total"),
    [
        ("500.00", "395.00", "35.00", "465.00"),
        ("410.00", "395.00", "35.00", "395.00"),  # the minimum charge holds
        ("300.00", "395.00", "35.00", "395.00"),
        ("20.00", "0.00", "35.00", "0.00"),  # never below nothing
    ],
)
def test_what_comes_off_never_goes_below_the_minimum_charge(
    charged: str, minimum: str, off: str, total: str
) -> None:
    agreed = Agreed(Decimal("0.60"), Decimal("0.25"), Decimal(0), Decimal(charged), Decimal(minimum))
    same_day = Difference("same_day", say("Same day."), Fraction(0), Decimal(0), -Decimal(off), "call_out")

    changed = sum((line.amount for line in settle((), {}, agreed, same_day)), Decimal(0))

    assert max(agreed.charged, agreed.minimum) + changed == Decimal(total)


def agreement(number: int, company: str, where: str | None, first: int, last: int | None) -> Agreement:
    """An agreement from a day of May on."""
    through = None if last is None else date(2027, 5, last)
    return Agreement(
        f"A-2027-{number:04d}", company, where, date(2027, 5, first), through,
        AgreedPrices(percent=Fraction(number)),
    )  # fmt: skip


def test_which_agreement_holds_is_one_rule() -> None:
    every = [
        agreement(1, "finch", None, 1, None), agreement(2, "finch", "heron", 1, 20),
        agreement(3, "finch", None, 5, None), agreement(4, "finch", "heron", 1, 20),
        agreement(5, "sorrel", None, 9, None),
    ]  # fmt: skip

    def holds(company: str, where: str | None, day: int) -> str:
        found = winning(every, company, where, date(2027, 5, day))
        return found.number[-1] if found else ""

    assert (
        holds("finch", "heron", 20) == "4"
    )  # the subdivision's before the builder's; of two alike the higher
    assert holds("finch", "heron", 21) == "3"  # over: the builder's, the one that began later
    assert (holds("finch", None, 4), holds("finch", "teal", 5)) == ("1", "3")
    assert (holds("sorrel", "heron", 8), holds("sorrel", "heron", 9)) == ("", "5")


few = st.integers(0, 40).map(lambda n: str(n * 25))
rate = st.integers(0, 300).map(lambda n: f"{n // 100}.{n % 100:02d}")


@st.composite
def rate_books(draw: st.DrawFn) -> Rates:
    """Any rate book that the editor takes, and any site: what it refuses is drawn anew."""
    ends = sorted(draw(st.sets(st.integers(1, 900), max_size=3)))
    bands = [{"up_to_feet": str(end), "per_foot": draw(rate)} for end in ends] + [{"per_foot": draw(rate)}]
    minimum = draw(st.integers(0, 600))
    document = {
        "bands": bands, "minimum": str(minimum), "second_coat_per_foot": draw(rate),
        "unwrap_per_foot": draw(rate), "call_out": draw(few),
        "discount_percent": draw(st.sampled_from("057")),
        "tax_percent": draw(st.sampled_from(("0", "7", "8.25"))), "crawl_space": draw(few),
        "crawl_space_per_foot": draw(rate), "small_lot_feet": draw(few),
        "small_lot_minimum": str(draw(st.integers(0, minimum))),
        "slices_over": draw(st.sampled_from(("lot", "package"))),
        "call_out_by_miles": draw(st.sampled_from(([], MILES))),
    }  # fmt: skip
    if document["slices_over"] == "package":
        bands.sort(key=lambda band: -Fraction(band["per_foot"]))
        document["bands"] = [
            {"up_to_feet": str(end), "per_foot": band["per_foot"]}
            for end, band in zip(ends, bands, strict=False)
        ] + [{"per_foot": bands[-1]["per_foot"]}]
    own = [{"up_to_feet": "150", "per_foot": "1.2"}, {"per_foot": "0.9"}]
    agreed = draw(st.sampled_from((None, {"percent": "6"}, {"bands": own})))
    miles = draw(st.none() | st.integers(0, 60))
    site = Site(draw(st.booleans()), None if miles is None else Fraction(miles),
                read_prices(agreed) if agreed else None)  # fmt: skip
    return rates_at(read_rates(document), site)


@settings(max_examples=300, deadline=None)
@given(rate_books(), st.integers(0, 1500), st.integers(1, 200), st.integers(0, 100), st.integers(0, 100))
def test_more_feet_never_cost_less_by_any_rate_book_that_the_editor_takes(
    rates: Rates, feet: int, more: int, sided: int, wrapped: int
) -> None:
    before = price(Fraction(feet), Fraction(sided), Fraction(wrapped), rates)
    after = price(Fraction(feet + more), Fraction(sided), Fraction(wrapped), rates)

    assert after.total >= before.total


@settings(max_examples=100, deadline=None)
@given(rate_books(), st.lists(st.integers(1, 900), min_size=2, max_size=5), st.integers(1, 200))
def test_more_feet_in_a_package_never_make_the_whole_of_it_cost_less(
    rates: Rates, feet: list[int], more: int
) -> None:
    falling = replace(rates, bands=read_rates({}).bands)
    lots = {str(i): Fraction(one) for i, one in enumerate(feet)}

    assert shares(lots | {"0": lots["0"] + more}, falling).whole >= shares(lots, falling).whole


@settings(max_examples=100, deadline=None)
@given(st.lists(st.tuples(st.sampled_from("ab"), st.sampled_from((None, "x", "y")), st.integers(1, 28),
                          st.none() | st.integers(1, 28)), max_size=8), st.integers(1, 28))  # fmt: skip
def test_no_builder_is_ever_priced_by_anothers_agreement(
    entered: list[tuple[str, str | None, int, int | None]], day: int
) -> None:
    every = [agreement(i + 1, *one) for i, one in enumerate(entered)]

    for company in "ab":
        for where in (None, "x", "y"):
            found = winning(every, company, where, date(2027, 5, day))
            assert found is None or found.company_id == company
            assert found is None or found.subdivision_id in (None, where)
            assert found == winning([one for one in every if one.company_id == company], company, where,
                                    date(2027, 5, day))  # fmt: skip
