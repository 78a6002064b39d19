"""Money in: its figures are those of the books, and nothing stands twice."""

from __future__ import annotations

from datetime import timedelta
from decimal import Decimal

import pytest

from portal.acts import books, desk, money_in
from portal.acts.bouncing import bounce
from portal.acts.money_in import MoneyIn
from portal.core.errors import NotFound
from portal.core.money.books import TrialBalance
from tests.parts.house import House

D = Decimal


def balance(trial: TrialBalance, name: str) -> Decimal:
    """What the trial balance says of an account, or of all whose name begins so."""
    return sum(
        (side.debit - side.credit for side in trial.lines if side.account.split(": ")[0] == name), D("0.00")
    )


def check(house: House, look: MoneyIn) -> None:
    """The page's figures beside the trial balance's."""
    trial = books.look(house.parts, house.office).trial
    assert look.open == balance(trial, "receivable") == look.late + look.due
    assert look.held_back == balance(trial, "retainage")
    assert look.credit == -balance(trial, "credits")
    assert look.came == balance(trial, "cash")
    assert look.late == sum((one.late for one in look.builders), D("0.00"))
    assert look.late == desk.money(house.parts, house.office, open_only=True).sums.overdue


def test_the_figures_are_those_of_the_trial_balance(house: House) -> None:
    first, second = house.treated(), house.treated()
    house.pay(first, "100.00")
    house.clock.pass_by(days=8)
    house.pay(second, "540.51")
    look = money_in.look(house.parts, house.office)
    check(house, look)
    # By hand: two invoices of 540.51, less 100.00 and 540.51; nothing is late within 30 days.
    assert (look.open, look.late, look.came) == (D("440.51"), D("0.00"), D("640.51"))
    assert [week.came for week in look.weeks if week.came] == [D("100.00"), D("540.51")]

    house.clock.pass_by(days=23)
    look = money_in.look(house.parts, house.office)
    check(house, look)
    assert look.late == D("440.51")
    assert look.builders[0].oldest == house.sheet(first).invoice.document.due_on  # type: ignore[union-attr]


def test_what_bounced_did_not_come(house: House) -> None:
    lot = house.treated()
    house.pay(lot, "540.51")
    paid = house.sheet(lot).invoice.payments[0]  # type: ignore[union-attr]
    bounce(house.parts, house.office, paid.id, "bounced", house.parts.today(), "No funds", "k")

    look = money_in.look(house.parts, house.office)

    check(house, look)
    assert (look.came, look.open) == (D("0.00"), D("540.51"))


def test_a_booked_lot_is_about_to_be_billed_as_quoted_and_then_no_more(house: House) -> None:
    lot = house.booked()
    look = money_in.look(house.parts, house.office)
    assert (look.to_bill, look.lots) == (D(house.sheet(lot).revisions[0].document.offer.total), 1)  # type: ignore[union-attr]

    house.treated()
    assert money_in.look(house.parts, house.office).lots == 1


def test_of_one_builder_only_its_own_stands_there(house: House) -> None:
    lot = house.treated()
    own = house.sheet(lot).company_id
    every = money_in.look(house.parts, house.office)

    look = money_in.look(house.parts, house.office, own)

    assert (look.open, look.weeks) == (every.open, every.weeks)
    other = next(id_ for id_, _name in every.names if id_ != own)
    assert money_in.look(house.parts, house.office, other).open == D("0.00")
    with pytest.raises(NotFound):
        money_in.look(house.parts, house.office, "nobody")


def test_what_comes_weeks_ago_is_not_in_the_drawing(house: House) -> None:
    house.pay(house.treated(), "540.51")
    house.clock.pass_by(days=timedelta(weeks=8).days)

    assert money_in.look(house.parts, house.office).came == D("0.00")
