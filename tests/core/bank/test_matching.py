"""What a line could be: named, exact, several oldest, recorded already; and never more than is open."""

from __future__ import annotations

from datetime import date, timedelta
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from portal.core.bank.matching import Known, Open, Proposal, bare_name, book_of, proposals
from portal.core.errors import BadInput
from portal.core.money.paying import Owing, Plan, Source, as_chosen, drawn, oldest_first

D = Decimal
ON = date(2027, 5, 4)
ROWS = (
    Open("a1", "INV-2027-0001", "a", D("540.51"), "PO-4101"), Open("a2", "INV-2027-0002", "a", D("300.00")),
    Open("b1", "INV-2027-0003", "b", D("540.51")), Open("a3", "INV-2027-0014", "a", D("75.25")),
)  # fmt: skip
NAMES = (("a", "Harrow & Finch Homes LLC"), ("b", "Osier Creek Builders"), ("c", "Co"))


def found(amount: str, text: str, *known: Known) -> tuple[Proposal, ...]:
    return proposals(ON, D(amount), text, book_of(ROWS, NAMES, known))


def first(amount: str, text: str) -> tuple[str, dict[str, Decimal], Decimal, list[str]]:
    one = found(amount, text)[0]
    parts = {part.invoice: part.amount for part in one.parts}
    return one.company_id, parts, one.rest, [str(why) for why in one.why]


@pytest.mark.parametrize(
    "text", ["INV-2027-0001 thanks", "inv 2027 0001", "PAYMENT INV20270001", "x/INV-2027-0001/y"]
)
def test_a_text_that_names_an_invoice_is_for_it(text: str) -> None:
    assert first("540.51", text) == (
        "a", {"a1": D("540.51")}, 0,
        ["names INV-2027-0001", "is exactly what is open of INV-2027-0001, and of 1 more"],
    )  # fmt: skip


def test_of_two_numbers_that_begin_alike_the_whole_one_counts() -> None:
    assert first("75.25", "INV-2027-0014")[1] == {"a3": D("75.25")}
    assert first("75.25", "INV-2027-00140")[3] == ["is exactly what is open of INV-2027-0014"]


def test_a_named_invoice_is_paid_in_part_or_over() -> None:
    assert first("100", "INV-2027-0002") == (
        "a", {"a2": D(100)}, 0, ["names INV-2027-0002", "is a part of what is open"],
    )  # fmt: skip
    assert first("1000", "INV-2027-0002") == (
        "a", {"a2": D(300), "a1": D("540.51"), "a3": D("75.25")}, D("84.24"),
        ["names INV-2027-0002", "is more than is open: 84.24 would be kept as credit"],
    )  # fmt: skip


def test_a_purchase_order_and_a_builders_name_tell_whose_it_is() -> None:
    assert first("540.51", "ref PO-4101")[3][0] == "names the purchase order PO-4101"
    company, parts, rest, why = first("840.51", "HARROW AND FINCH HOMES")
    both = ["names this builder", "comes to exactly what is open of these 2"]
    assert (company, rest, why) == ("a", 0, both)
    company, parts, rest, why = first("540.51", "WIRE OSIER CREEK BUILDERS")
    assert (company, parts, why[0]) == ("b", {"b1": D("540.51")}, "names this builder")
    assert first("10", "HARROW AND FINCH HOMES")[3] == ["names this builder", "is a part of what is open"]
    assert first("10", "DEPOSIT HARROW & FINCH HOMES")[3] == [
        "names this builder",
        "is a part of what is open",
    ]


def test_an_amount_alone_proposes_everything_that_is_open_for_exactly_as_much() -> None:
    assert [one.company_id for one in found("540.51", "deposit")] == ["a", "b"]
    (sum_of_two,) = found("840.51", "deposit")
    assert [part.invoice for part in sum_of_two.parts] == ["a1", "a2"]
    assert found("12.34", "deposit") == () and found("-540.51", "INV-2027-0001") == ()


def test_what_is_recorded_already_is_said_first() -> None:
    near, far = (
        Known(key, "a", D("540.51"), ON - timedelta(days=days), "2288") for key, days in (("p", 3), ("q", 30))
    )

    one, *_more = found("540.51", "check 2288 INV-2027-0001", near, far)

    assert (one.payment_id, one.parts) == ("p", ())
    assert [str(why) for why in one.why] == [
        "as much was recorded on 2027-05-01",
        "with the same reference, 2288",
    ]


def test_what_kind_of_company_it_is_is_no_part_of_its_name() -> None:
    assert bare_name("Harrow & Finch Homes, LLC") == "harrowfinchhomes"
    assert bare_name("Alder Inc.") == "alder" and bare_name("Co") == "co"


money = st.integers(1, 10**7).map(lambda count: D(count) / 100)


@given(st.lists(money, max_size=8), money, st.text(max_size=30))
def test_no_proposal_gives_more_than_is_open_or_than_came(
    asks: list[Decimal], amount: Decimal, text: str
) -> None:
    rows = [Open(f"i{n}", f"INV-2027-{n:04}", "ab"[n % 2], one, f"PO-{n}") for n, one in enumerate(asks)]
    named = text + "".join(f" {row.number}" for row in rows[:2]) + " Harrow & Finch Homes"

    for one in proposals(ON, amount, named, book_of(rows, NAMES, ())):
        paid = {part.invoice: part.amount for part in one.parts}
        assert len(paid) == len(one.parts)
        assert sum(paid.values(), D(0)) + one.rest == amount
        assert all(0 < paid[row.id] <= row.asks for row in rows if row.id in paid)
        assert {row.company_id for row in rows if row.id in paid} <= {one.company_id}


owing = st.lists(
    st.tuples(money, st.integers(0, 40)), max_size=8
).map(lambda rows: [Owing(f"i{n}", f"N{n}", asks, (asks * off / 100).quantize(D("0.01")))
                    for n, (asks, off) in enumerate(rows)])  # fmt: skip


@given(money, owing)
def test_oldest_first_adds_up_and_never_gives_more_than_is_open(amount: Decimal, rows: list[Owing]) -> None:
    plan: Plan = oldest_first(amount, rows)
    by_id = {row.id: row for row in rows}

    assert sum((part.amount for part in plan.parts), D(0)) + plan.rest == amount and plan.rest >= 0
    for part in plan.parts:
        row = by_id[part.invoice]
        assert part.amount > 0 and part.amount + part.off <= row.asks and part.off <= row.off
    # In order: whatever is not the last that is paid is paid whole.
    assert all(part.amount + part.off == by_id[part.invoice].asks for part in plan.parts[:-1])
    # Something is left over only where nothing is open anymore.
    if plan.rest:
        assert sum((part.amount for part in plan.parts), D(0)) == sum((row.asks for row in rows), D(0))


def test_paying_soon_is_taken_where_it_fits_and_not_where_all_is_paid() -> None:
    rows = [Owing("a", "A", D(100), D(2)), Owing("b", "B", D(100), D(2))]

    def parts(amount: str) -> list[tuple[str, Decimal, Decimal]]:
        return [(part.invoice, part.amount, part.off) for part in oldest_first(D(amount), rows).parts]

    assert parts("196") == [("a", 98, 2), ("b", 98, 2)]
    assert parts("98") == [("a", 98, 2)]
    assert parts("97") == [("a", 97, 0)]
    assert parts("200") == [("a", 100, 0), ("b", 100, 0)]
    assert parts("198") == [("a", 100, 0), ("b", 98, 2)]
    assert oldest_first(D(201), rows).rest == 1


@given(money, owing, st.lists(money, max_size=8))
def test_as_chosen_is_never_more_than_is_open_or_than_came(
    amount: Decimal, rows: list[Owing], wanted: list[Decimal]
) -> None:
    typed = {row.id: part for row, part in zip(rows, wanted, strict=False)}
    fits = typed and all(typed[row.id] <= row.asks for row in rows if row.id in typed)
    try:
        plan = as_chosen(amount, rows, typed)
    except BadInput:
        assert not fits or sum(typed.values()) > amount
        return
    assert fits and sum((part.amount for part in plan.parts), D(0)) + plan.rest == amount >= plan.rest >= 0


@given(st.lists(money, max_size=6), st.data())
def test_credit_is_taken_oldest_first_and_adds_up(left: list[Decimal], data: st.DataObject) -> None:
    total = sum(left, D(0))
    amount = D(data.draw(st.integers(0, int(total * 100)))) / 100

    taken = drawn(amount, [Source("payment", f"p{n}", one) for n, one in enumerate(left)])

    assert sum((part for _, part in taken), D(0)) == amount
    assert all(0 < part <= source.left for source, part in taken)
    assert all(part == source.left for source, part in taken[:-1])
