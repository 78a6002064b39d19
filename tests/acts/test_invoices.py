"""Invoices by stages and terms, credit notes and rebills: to the cent, and the books balanced after each."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date
from decimal import Decimal
from functools import partial
from typing import Any

import pytest
from sqlalchemy import func, select

from portal.acts import (
    accounts,
    bill_page,
    billing,
    booking,
    chase,
    chase_terms,
    crediting,
    desk,
    interest,
    money_in,
    rebilling,
    releasing,
    statements,
)
from portal.acts.billing_terms import enter_terms
from portal.acts.issuing import seen_of
from portal.acts.rebilling import Change
from portal.core.documents import CreditNoteDocument, InvoiceDocument, from_stored, to_stored
from portal.core.errors import Refused
from portal.core.machine import summary_of
from portal.core.pricing.explained import adds_up, explained
from portal.papers.ubl import ubl
from portal.store import owed
from portal.store.tables import CreditNote, Invoice, Posting
from tests.parts.at_once import at_once
from tests.parts.en16931 import against_schema, fired
from tests.parts.house import FIRM, RATES, House
from tests.parts.packages import TOGETHER, lots_of, sent_package
from tests.parts.refusals import problems, refusal

pytestmark = pytest.mark.slow
ALL_SIDED = {"by": "whole", "status": "sided"}


def terms(house: House, **typed: str) -> None:
    """Terms of the builder's own."""
    company = house.builder.company_id or ""
    enter_terms(house.parts, house.owner, company, {"net_days": "30"} | typed, house.key())


def balances(house: House) -> dict[str, Decimal]:
    """Every account that is not even; all together they come to nothing."""
    with house.parts.store.reading() as work:
        query = select(Posting.account, func.sum(Posting.amount)).group_by(Posting.account)
        rows = work.session.execute(query)
        found = {account: amount for account, amount in rows if amount}
    assert sum(found.values()) == 0
    summaries(house)
    return found


def summaries(house: House) -> None:
    """Every paper so far is told to machines: valid, by the published rules, and to the cent."""
    papers: list[Any] = [document(row) for row in invoices(house)]
    with house.parts.store.reading() as work:
        papers += [
            from_stored(CreditNoteDocument, row.document) for row in work.session.scalars(select(CreditNote))
        ]
    for paper in papers:
        summary = summary_of(paper)
        assert summary is not None
        xml = ubl(summary)
        assert (against_schema(xml), fired(xml)[0]) == ([], [])
        asked = paper.asked if isinstance(paper, InvoiceDocument) else paper.taken.total
        assert summary.due == asked


def invoices(house: House) -> list[Any]:
    """All invoices, by their numbers."""
    with house.parts.store.reading() as work:
        return list(work.session.scalars(select(Invoice).order_by(Invoice.number)))


def document(row: Any) -> InvoiceDocument:
    """What one says."""
    return from_stored(InvoiceDocument, row.document)


def note_of(house: House, note_id: str) -> CreditNoteDocument:
    """What a credit note says."""
    with house.parts.store.reading() as work:
        row = work.session.get(CreditNote, note_id)
        assert row is not None
        return from_stored(CreditNoteDocument, row.document)


def credit(
    house: House, invoice_id: str, typed: Mapping[str, str] | None = None, reason: str = "Counted twice."
) -> CreditNoteDocument:
    """Credit lines of an invoice, or all of it."""
    note = crediting.credit(
        house.parts, house.office, invoice_id, typed or {}, typed is None, reason, house.key()
    )
    return note_of(house, note)


def test_a_deposit_is_asked_for_with_the_yes_and_comes_off_the_invoice(house: House) -> None:
    terms(house, deposit_percent="25")
    lot = house.accepted()
    (deposit,) = invoices(house)

    assert (deposit.kind, deposit.total, deposit.number) == ("deposit", Decimal("135.13"), "INV-2027-0001")
    assert document(deposit).owed.tax == 0  # a deposit is asked for without tax
    assert balances(house) == {"receivable": Decimal("135.13"), "deposits": Decimal("-135.13")}
    assert house.sheet(lot).invoice is None

    house.treated(house.booked(lot))
    _, invoice = invoices(house)
    said = document(invoice)

    assert [(one.number, one.amount) for one in said.deposits] == [("INV-2027-0001", Decimal("135.13"))]
    assert (said.owed.total, invoice.total, said.due) == (
        Decimal("540.51"), Decimal("405.38"), Decimal("405.38"),
    )  # fmt: skip
    assert balances(house)["receivable"] == Decimal("540.51")
    assert "deposits" not in balances(house)

    house.pay(lot, "405.38")
    assert (house.invoice(lot).state, house.warranty(lot).state) == ("paid", "held")  # the deposit is open
    billing.record_payment(
        house.parts, house.office, deposit.id, "135.13", "check", "1", house.parts.today(), house.key()
    )
    assert house.warranty(lot).state == "in force"


def test_retainage_is_held_back_up_to_its_limit_and_released_by_paper(house: House) -> None:
    """FAR 32.103: no more than 10 percent is held back."""
    terms(house, retained_percent="10", retained_most="50", net_days="20")
    lot = house.treated()
    (invoice,) = invoices(house)

    assert (invoice.retained, document(invoice).due) == (Decimal("50.00"), Decimal("490.51"))
    assert house.open_of(lot) == Decimal("540.51")

    house.pay(lot, "490.51")
    assert (house.invoice(lot).state, house.invoice(lot).due) == ("part paid", 0)
    house.clock.pass_by(days=30)
    assert not house.invoice(lot).overdue  # what is held back is not due
    house.clock.pass_by(days=-30)
    assert problems(lambda: releasing.release_retainage(
        house.parts, house.office, invoice.id, "50.01", house.key()
    )) == {"amount": "50.00 USD is held back; enter more than nothing and no more than that."}  # fmt: skip
    house.clock.pass_by(days=10)
    for amount in ("20", "30"):
        releasing.release_retainage(house.parts, house.office, invoice.id, amount, house.key())
    with house.parts.store.reading() as work:
        assert releasing.due_now(work, owed.invoice(work, invoice.id)) == date(2027, 6, 3)
        assert releasing.held_back(work, invoice.id) == 0
    house.pay(lot, "50")
    assert (house.invoice(lot).state, house.warranty(lot).state) == ("paid", "in force")
    balances(house)


def test_a_discount_for_paying_soon_stands_on_the_invoice_with_its_last_day(lite: House) -> None:
    """Two in ten (common practice, no source), on what is asked for now: 540.51 less nothing."""
    terms(lite, prompt_percent="2", prompt_days="10", due_from="month end")
    said = lite.invoice(lite.treated()).document

    assert said.prompt is not None
    assert (said.prompt.until, said.prompt.amount) == (date(2027, 5, 14), Decimal("10.81"))
    assert said.due_on == date(2027, 6, 30)


def test_numbers_begin_with_the_firms_prefix_each_with_its_own_series(lite: House) -> None:
    lite.treated()
    lite.enter("firm", FIRM | {"invoice_prefix": "B7"})
    lite.treated()
    lite.treated()

    assert [row.number for row in invoices(lite)] == ["B7-2027-0001", "B7-2027-0002", "INV-2027-0001"]


@pytest.fixture
def packaged(lite: House) -> tuple[House, str, list[str]]:
    """A package of three lots, accepted, billed together."""
    lite.enter("rates", TOGETHER)
    terms(lite, bill_per="package")
    package = sent_package(lite)
    lots = lots_of(lite, package)
    for lot in lots:
        lite.accept(lot)
    return lite, package, lots


def test_a_package_is_billed_once_all_of_it_is_treated(packaged: tuple[House, str, list[str]]) -> None:
    house, package, lots = packaged
    for lot in lots[:2]:
        house.treated(house.booked(lot))
        assert (house.sheet(lot).invoice, house.sheet(lot).stage) == (None, "treated")
    assert invoices(house) == []

    house.treated(house.booked(lots[2]), found={"L1-1": "sided"})
    (invoice,) = invoices(house)
    said = document(invoice)

    assert (invoice.kind, invoice.package_id, len(said.lots)) == ("package", package, 3)
    assert sum(part.owed.total for part in said.lots) == said.owed.total == invoice.total
    assert {house.invoice(lot).id for lot in lots} == {invoice.id}
    assert all(adds_up(explained(part)) for part in said.lots)

    house.pay(lots[0], str(invoice.total))
    assert [house.warranty(lot).state for lot in lots] == ["in force"] * 3
    balances(house)


def test_the_office_bills_what_is_treated_of_a_package_and_the_rest_later(
    packaged: tuple[House, str, list[str]],
) -> None:
    house, package, lots = packaged
    house.treated(house.booked(lots[0]))
    (row,) = bill_page.to_bill(house.parts, house.office).packages
    assert (row.treated, row.untreated) == (1, 2)

    seen = bill_page.look_at_package(house.parts, house.office, package)
    bill_page.bill_package(house.parts, house.office, package, seen_of(seen), house.key())

    (invoice,) = invoices(house)
    real = to_stored(document(invoice))
    assert to_stored(seen) | {"number": real["number"]} == real  # the same, but for the number
    for lot in lots[1:]:
        house.treated(house.booked(lot))
    assert [len(document(one).lots) for one in invoices(house)] == [1, 2]
    assert bill_page.to_bill(house.parts, house.office).packages == ()


def test_a_lot_that_was_called_off_keeps_no_package_waiting(packaged: tuple[House, str, list[str]]) -> None:
    house, _package, lots = packaged
    for lot in lots[:2]:
        house.treated(house.booked(lot))
    house.booked(lots[2])
    assert desk.today(house.parts, house.office).to_bill == ()  # the mark of the third is coming
    booking.call_off(
        house.parts, house.office, lots[2], house.version(lots[2]), "The frame is sold.", "builder"
    )
    (waits,) = desk.today(house.parts, house.office).to_bill
    assert (waits.id, waits.treated) == (_package, 2)

    (row,) = bill_page.to_bill(house.parts, house.office).packages
    assert row.treated == 2


def test_a_dry_run_of_a_booked_lot_says_what_its_mark_bills(lite: House) -> None:
    terms(lite, deposit_percent="10", retained_percent="5", prompt_percent="1", prompt_days="5")
    lot = lite.booked()
    seen = bill_page.look_at_lot(lite.parts, lite.office, lot)
    lite.treated(lot)

    real = to_stored(lite.invoice(lot).document)
    of_the_day = {key: real[key] for key in ("number", "treatment", "treated_on", "zone")}
    assert to_stored(seen) | of_the_day == real


def test_a_whole_credit_takes_the_invoice_back_and_a_rebill_stands_in_its_place(house: House) -> None:
    lot = house.treated()
    (old,) = invoices(house)
    assert refusal(lambda: rebilling.rebill(house.parts, house.office, old.id, "", (), "", house.key())) == (
        "Credit it whole first: then it can be billed anew."
    )

    said = credit(house, old.id)

    assert (said.number, said.whole, said.taken.total) == ("CN-2027-0001", True, Decimal("540.51"))
    assert (house.invoice(lot).state, house.open_of(lot), balances(house)) == ("credited", 0, {})
    changes = (Change(0, "Garage left out", "It was not treated.", "-40"),)
    seen = rebilling.look(house.parts, house.office, old.id, "PO-9", changes).document
    assert refusal(lambda: rebilling.rebill(
        house.parts, house.office, old.id, "PO-9", changes, "something else", house.key()
    )).startswith("This changed since it was shown")  # fmt: skip
    new_id = rebilling.rebill(house.parts, house.office, old.id, "PO-9", changes, seen_of(seen), house.key())

    new = next(row for row in invoices(house) if row.id == new_id)
    real = document(new)
    assert to_stored(seen) | {"number": real.number} == to_stored(real)
    assert (real.in_place_of, real.purchase_order, new.rebills_id) == (old.number, "PO-9", old.id)
    assert house.invoice(lot).id == new_id
    # 505.15 less 40 is 465.15, and 7 percent of it 32.56.
    assert real.owed.total == Decimal("497.71")
    assert adds_up(explained(real.parts[0]))
    assert refusal(lambda: rebilling.rebill(house.parts, house.office, old.id, "", (), "", house.key())) == (
        "It was billed anew already."
    )


def test_a_paid_invoice_that_is_credited_leaves_a_credit(lite: House) -> None:
    lot = lite.paid()
    (invoice,) = invoices(lite)

    said = credit(lite, invoice.id, {"line.0.0": "100"})

    assert (said.off_open, said.to_credit) == (0, Decimal("107.00"))
    assert balances(lite)["credits"] == Decimal("-107.00")
    assert lite.invoice(lot).state == "paid"


def test_a_deposit_comes_back_with_a_whole_credit_and_is_used_again(lite: House) -> None:
    terms(lite, deposit_percent="25")
    lot = lite.treated()
    deposit, invoice = invoices(lite)
    assert refusal(lambda: credit(lite, deposit.id)).startswith("Nothing is left of this deposit")

    said = credit(lite, invoice.id)
    assert (said.deposits, said.off_open) == (Decimal("135.13"), Decimal("405.38"))
    assert lite.invoice(lot).state == "credited"
    seen = seen_of(rebilling.look(lite.parts, lite.office, invoice.id, "", ()).document)
    rebilling.rebill(lite.parts, lite.office, invoice.id, "", (), seen, lite.key())
    assert lite.invoice(lot).document.paid_ahead == Decimal("135.13")
    balances(lite)


def test_a_deposit_of_a_lot_that_is_never_treated_is_credited_by_itself(lite: House) -> None:
    terms(lite, deposit_percent="25")
    lite.accepted()
    (deposit,) = invoices(lite)

    credit(lite, deposit.id, reason="The lot was sold.")

    assert balances(lite) == {}


def test_credit_by_line_never_comes_to_more_than_the_invoice(lite: House) -> None:
    """Line by line, the last one takes the rest of discount and tax, to the cent."""
    lite.enter("rates", RATES | {"discount_percent": "3.33", "tax_percent": "7.25"})
    lite.treated()
    (invoice,) = invoices(lite)
    lines = document(invoice).owed.lines
    total = Decimal(0)
    for n, line in enumerate(lines):
        for part in (Decimal("0.37"), line.amount - Decimal("0.37")):
            total += credit(lite, invoice.id, {f"line.0.{n}": str(part)}).taken.total

    assert total == document(invoice).owed.total
    assert balances(lite) == {}
    assert refusal(lambda: credit(lite, invoice.id)) == "This invoice was credited whole already."


@pytest.mark.parametrize(
    ("typed", "reason", "said"),
    [
        ({"line.0.0": "99999"}, "x", {"line.0.0": "429.20 USD is left of this line."}),
        ({"line.0.0": ""}, "x", {"lines": "Enter what to take back of at least one line."}),
        ({"line.9.9": "1"}, "x", {"lines": "There is no such line."}),
        ({"line.0.0": "a lot"}, "", {
            "line.0.0": "“a lot” is no amount of money; write 1250 or 1,250.00.",
            "reason": "Say why: the builder reads it on the credit note.",
        }),
    ],
)  # fmt: skip
def test_a_credit_that_cannot_be_is_told_at_its_field(
    lite: House, typed: dict[str, str], reason: str, said: dict[str, str]
) -> None:
    lite.treated()
    (invoice,) = invoices(lite)

    assert problems(lambda: credit(lite, invoice.id, typed, reason)) == said


def test_a_rebill_with_lines_that_cannot_be_is_told_at_its_fields(lite: House) -> None:
    lite.treated()
    (invoice,) = invoices(lite)
    credit(lite, invoice.id)

    changes = (Change(0, "", "", "x"), Change(0, "A gift", "Why not", "-9999"))
    assert list(problems(lambda: rebilling.look(lite.parts, lite.office, invoice.id, "", changes))) == [
        "label.0", "reason.0", "amount.0",
    ]  # fmt: skip
    assert problems(lambda: rebilling.look(lite.parts, lite.office, invoice.id, "", changes[1:])) == {
        "amount.0": "With these lines nothing is left to ask for."
    }


def test_what_changed_since_the_dry_run_is_not_billed(packaged: tuple[House, str, list[str]]) -> None:
    house, package, lots = packaged
    house.treated(house.booked(lots[0]))
    seen = seen_of(bill_page.look_at_package(house.parts, house.office, package))
    house.treated(house.booked(lots[1]))

    with pytest.raises(Refused, match="changed since"):
        bill_page.bill_package(house.parts, house.office, package, seen, house.key())


def test_a_press_twice_credits_once(lite: House) -> None:
    lite.treated()
    (invoice,) = invoices(lite)
    key = lite.key()
    for _ in range(2):
        crediting.credit(lite.parts, lite.office, invoice.id, {}, True, "Wrong lot.", key)

    assert lite.rows(CreditNote) == 1


def test_the_last_two_lots_of_a_package_marked_at_once_make_one_invoice(postgres_house: House) -> None:
    house = postgres_house
    house.enter("rates", TOGETHER)
    terms(house, bill_per="package")
    lots = lots_of(house, sent_package(house))
    for lot in lots:
        house.accept(lot)
        house.booked(lot)
    house.treated(lots[0])
    entries = [(lot, house.entry(lot), house.key()) for lot in lots[1:]]

    at_once(*(partial(house.mark, *one) for one in entries))

    (invoice,) = invoices(house)
    assert len(document(invoice).lots) == 3
    balances(house)


def test_what_was_held_back_is_late_from_its_own_day_everywhere(lite: House) -> None:
    """Invoice of May 4 due May 24; 50.00 of it released on June 20 and due July 10."""
    terms(lite, retained_percent="10", retained_most="50", net_days="20")
    chase_terms.enter_chase_terms(
        lite.parts, lite.owner, lite.parts.today(),
        {"steps": [], "interest": {"percent": "7.3", "grace_days": "5", "counts": "365"}}, lite.key(),
    )  # fmt: skip
    lot = lite.treated()
    invoice_id, company = lite.invoice(lot).id, lite.builder.company_id or ""
    lite.clock.pass_by(days=10)
    lite.pay(lot, "490.51")

    def late() -> tuple[int, int, Decimal, Decimal]:
        page = chase.chase(lite.parts, lite.office)
        money = desk.money(lite.parts, lite.office, open_only=True)
        found = statements.account(lite.parts, lite.office, company)
        assert page.ageing == found.ageing
        assert page.ageing.late == money.sums.overdue == money_in.look(lite.parts, lite.office).late
        return (len(desk.today(lite.parts, lite.office).overdue), len(page.late), page.ageing.late,
                page.ageing.total)  # fmt: skip

    lite.clock.pass_by(days=37)  # June 20
    assert late() == (0, 0, 0, 0)
    releasing.release_retainage(lite.parts, lite.office, invoice_id, "50", lite.key())
    assert late() == (0, 0, 0, Decimal("50.00"))
    assert accounts.account(lite.parts, lite.office, company).owing[0].due_on == date(2027, 7, 10)

    lite.clock.pass_by(days=20)  # July 10
    assert late()[:3] == (0, 0, 0)
    lite.clock.pass_by(days=1)
    assert late() == (1, 1, Decimal("50.00"), Decimal("50.00"))
    (row,) = chase.chase(lite.parts, lite.office).late
    assert (row.days, row.row.due_on) == (1, date(2027, 7, 10))

    # 7.3 percent over 365 days is 0.02 percent a day: 50.00 bears a cent a day, from July 16 on.
    lite.clock.pass_by(days=14)  # July 25
    due = chase.invoice_chase(lite.parts, lite.office, invoice_id).interest
    assert due is not None
    assert [(one.first, one.days, one.amount) for one in due.accrued.stretches] == [
        (date(2027, 7, 16), 10, Decimal("0.10"))
    ]
    bill = interest.bill_interest(
        lite.parts, lite.office, invoice_id, lite.parts.today(), Decimal("0.10"), lite.key()
    )
    with lite.parts.store.reading() as work:
        charge = document(owed.invoice(work, bill)).charge
    assert charge is not None and charge.due_on == date(2027, 7, 10)


def test_an_invoice_covered_by_its_deposit_is_credited_whole_and_billed_anew(lite: House) -> None:
    terms(lite, deposit_percent="100")
    lot = lite.treated()
    deposit, invoice = invoices(lite)
    assert (invoice.total, invoice.state, lite.open_of(lot)) == (0, "paid", 0)

    said = credit(lite, invoice.id)

    assert said.taken.total == deposit.total
    assert lite.invoice(lot).state == "credited"
    changes = (Change(0, "Garage left out", "It was not treated.", "-40"),)
    seen = rebilling.look(lite.parts, lite.office, invoice.id, "", changes).document
    new = rebilling.rebill(lite.parts, lite.office, invoice.id, "", changes, seen_of(seen), lite.key())
    with lite.parts.store.reading() as work:
        assert owed.invoice(work, new).state == "paid"  # the deposit covers it too, and 42.80 of that is left
    balances(lite)
