"""Every difference between quote and invoice is explained, to the cent, whatever was found and corrected."""

from __future__ import annotations

from datetime import date
from decimal import Decimal

from hypothesis import given
from hypothesis import strategies as st
from msgspec.structs import replace

from portal.core.documents import DifferenceLine, Line, LotOnInvoice, Taxing, TaxRate, TaxTable
from portal.core.pricing.billed import as_line
from portal.core.pricing.credited import credit_lines, taken_back, the_rest
from portal.core.pricing.explained import adds_up, explained
from portal.core.pricing.offer import Taxed, offer, owed
from portal.core.pricing.summed import summed
from tests.parts import documents

CENTS = st.integers(1, 500_000).map(lambda count: Decimal(count) / 100)
SIGNED = st.integers(-20_000, 20_000).filter(bool).map(lambda count: Decimal(count) / 100)
PERCENT = st.integers(0, 2000).map(lambda count: Decimal(count) / 100)
KINDS = st.sampled_from(("treatment", "second_coat", "unwrap", "call_out", "extra"))
LINES = st.lists(st.tuples(KINDS, CENTS), min_size=1, max_size=6)
FOUND = st.lists(st.tuples(KINDS, SIGNED), max_size=5)
TABLES = st.builds(
    lambda rates, untaxed, rounding, apart: Taxing(TaxTable(
        "Osier County", 1, tuple(TaxRate(f"part {n}", percent) for n, percent in enumerate(rates)),
        tuple(untaxed), rounding, apart,
    )),
    st.lists(PERCENT, min_size=1, max_size=3), st.sets(KINDS, max_size=2),
    st.sampled_from(("invoice", "line")), st.booleans(),
)  # fmt: skip


def part_of(lines, found, discount, tax, taxing, other):  # type: ignore[no-untyped-def]
    """A lot's part of an invoice; `other` is another tax on the day of the invoice, or None."""
    quoted = offer([Line(kind, kind, amount) for kind, amount in lines], "USD", discount, tax, taxing)
    differences = tuple(
        DifferenceLine(f"L1-{n}", f"wall {n}", "as found", Decimal(0), Decimal(0), amount, kind)
        for n, (kind, amount) in enumerate(found)
    )
    on = None if other is None else Taxed(other)
    owing = owed(quoted, [as_line(line) for line in differences], on)
    bill = documents.invoice()
    return LotOnInvoice(
        bill.place, "Q-1 rev. 1", "", "", "TR-1", date(2027, 5, 4), quoted, differences, owing
    )


@given(LINES, FOUND, PERCENT, PERCENT, st.none() | TABLES, st.none() | PERCENT)
def test_the_steps_from_quote_to_invoice_add_up(lines, found, discount, tax, taxing, other) -> None:  # type: ignore[no-untyped-def]
    part = part_of(lines, found, discount, tax, taxing, other)
    steps = explained(part)

    assert adds_up(steps)
    if part.quoted.total != part.owed.total:
        assert steps[0].amount == part.quoted.total and steps[-1].amount == part.owed.total
        assert [step.amount for step in steps[1 : 1 + len(found)]] == [amount for _kind, amount in found]


@given(LINES, PERCENT, PERCENT, st.none() | TABLES, st.data())
def test_what_is_credited_line_by_line_adds_up_to_the_invoice(lines, discount, tax, taxing, data) -> None:  # type: ignore[no-untyped-def]
    """Each note takes any part of any line; the last takes the rest: all together are the invoice."""
    part = part_of(lines, [], discount, tax, taxing, None)
    bill = replace(documents.invoice(), quoted=part.quoted, differences=(), owed=part.owed)
    taken: dict[tuple[int, int], Decimal] = {}
    notes = []
    for _ in range(data.draw(st.integers(0, 4))):
        rest = the_rest(bill, taken)
        at = data.draw(st.sampled_from(sorted(rest)))
        cents = data.draw(st.integers(1, int(rest[at] * 100)))
        more = {at: Decimal(cents) / 100}
        notes.append(summed(taken_back(bill, taken, more)))
        assert sum(line.amount for line in credit_lines(bill, more)) == notes[-1].subtotal
        taken[at] = taken.get(at, Decimal(0)) + more[at]
        if not the_rest(bill, taken):
            break
    if rest := the_rest(bill, taken):
        notes.append(summed(taken_back(bill, taken, rest)))

    assert sum(note.total for note in notes) == part.owed.total
    assert sum(note.tax for note in notes) == part.owed.tax
    assert sum((part.amount for note in notes for part in note.taxes), Decimal(0)) == sum(
        (one.amount for one in part.owed.taxes), Decimal(0)
    )
    assert all(note.subtotal - note.discount + note.tax == note.total for note in notes)
