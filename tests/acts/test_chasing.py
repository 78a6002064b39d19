"""Reminders by the office's steps, disputes, promises, interest by the terms on the invoice."""

from __future__ import annotations

from datetime import date, timedelta
from decimal import Decimal
from typing import Any

import pytest

from portal.acts import chase, chase_terms, colleagues, disputing, interest, people, reminding
from portal.core.documents import InvoiceDocument, from_stored
from portal.core.errors import NotFound
from portal.store import books, owed
from portal.store.tables import Company, Invoice, InvoiceLot, Letter, Reminder
from tests.parts.at_once import at_once
from tests.parts.house import House
from tests.parts.refusals import problems, refusal

pytestmark = pytest.mark.slow

#: Step by step; the words say by which step they were sent.
STEPS = [
    {"days": days, "subject": f"step {days}: {{invoice}}", "body": "{amount}, {due}, {days}, {lot}"}
    for days in (-3, 7, 30)
]
INTEREST = {"percent": "7.3", "grace_days": "5", "counts": "365"}  # 0.02 % a day


def enter(house: House, steps: Any = STEPS, terms: Any = None) -> None:
    document = {"steps": steps, "interest": terms or {}}
    chase_terms.enter_chase_terms(house.parts, house.owner, house.parts.today(), document, house.key())


def late(house: House, lot: str, days: int, hour: int = 8) -> date:
    """So many days after the lot's invoice was due."""
    day = house.invoice(lot).document.due_on + timedelta(days=days)
    house.clock.turn_to(day, hour)
    return day


def reminded(house: House) -> list[tuple[str, str]]:
    """The step and the receiver of every reminder."""
    with house.parts.store.reading() as work:
        rows = work.session.query(Letter).filter(Letter.subject == "reminder").order_by(Letter.written_at)
        found = [(row.text.partition("subject: step ")[2].partition(":")[0], row.to) for row in rows]
    return found


def test_each_step_goes_out_once_on_its_day_and_the_history_says_so(house: House) -> None:
    # Treated on May 4, 2027, net 30: due on Thursday, June 3.
    enter(house)
    lot = house.treated()
    went = []
    for n in range(-5, 36):
        day = late(house, lot, n)
        if reminding.remind(house.parts):
            went.append(day)
        assert reminding.remind(house.parts) == 0

    # 3 days before is a Monday, 7 after a Thursday; 30 after is Saturday, July 3, and goes out on Monday.
    assert went == [date(2027, 5, 31), date(2027, 6, 10), date(2027, 7, 5)]
    assert reminded(house) == [(step, "harriet@example.com") for step in ("-3", "7", "30")]
    assert house.verbs(lot).count("chased") == 3
    assert [(r.days, r.told) for r in _chase(house, lot).reminders] == [(30, 1), (7, 1), (-3, 1)]


def _chase(house: House, lot: str, until: date | None = None) -> chase.InvoiceChase:
    return chase.invoice_chase(house.parts, house.office, house.invoice(lot).id, until)


def test_without_steps_nobody_is_reminded(lite: House) -> None:
    lot = lite.treated()
    late(lite, lot, 30)
    assert reminding.remind(lite.parts) == 0
    enter(lite, [])
    assert reminding.remind(lite.parts) == 0 and not chase.chase(lite.parts, lite.office).steps


def test_what_is_paid_or_disputed_or_promised_is_not_chased(lite: House) -> None:
    enter(lite)
    paid, disputed, promised, open_ = lite.paid(), lite.treated(), lite.treated(), lite.treated()
    lite.pay(open_, "1.00")
    day = late(lite, open_, 7)
    disputing.dispute(lite.parts, lite.builder, lite.invoice(disputed).id, "The east wall was bare.")
    disputing.promise(lite.parts, lite.office, lite.invoice(promised).id, day, "Harriet Finch", "A check.")

    assert reminding.remind(lite.parts) == 1
    assert [lite.verbs(lot).count("chased") for lot in (paid, disputed, promised, open_)] == [0, 0, 0, 1]

    # The promised day passes, the dispute is settled: both are chased from there on.
    late(lite, open_, 8)
    disputing.settle_dispute(lite.parts, lite.office, lite.invoice(disputed).id, "It was wrapped: photo 3.")
    assert reminding.remind(lite.parts) == 2
    assert [step for step, _to in reminded(lite)] == ["7", "7"]  # of both in one letter


def test_credited_and_written_off_invoices_are_not_chased(lite: House) -> None:
    """By their state, which the acts of crediting and writing off set from the postings."""
    enter(lite)
    lots = [lite.treated(), lite.treated()]
    late(lite, lots[0], 8)
    with lite.parts.store.writing() as work:
        for lot, state in zip(lots, ("credited", "written off"), strict=True):
            invoice = owed.invoice_of(work, lot)
            assert invoice is not None
            invoice.state = state

    assert reminding.remind(lite.parts) == 0


def test_what_is_missed_goes_out_late_but_not_all_at_once(lite: House) -> None:
    lot = lite.treated()
    late(lite, lot, 40)
    enter(lite)

    assert reminding.remind(lite.parts) == 1
    assert [step for step, _to in reminded(lite)] == ["30"]
    assert reminding.remind(lite.parts) == 0


def test_two_workers_at_once_remind_once(house: House) -> None:
    enter(house)
    lot = house.treated()
    late(house, lot, 7)

    answers = at_once(*[lambda: reminding.remind(house.parts)] * 4)

    assert sorted(answers) == [0, 0, 0, 1]
    assert house.rows(Reminder) == 1 and len(reminded(house)) == 1


def colleague(house: House, name: str, rights: tuple[str, ...]) -> Any:
    email = f"{name.lower()}@example.com"
    person = people.invite_colleague(house.parts, house.builder, name, email, rights)
    token = house.parts.tokens.make("invitation", {"person": person, "turn": 0})
    people.set_password(house.parts, "invitation", token, "framing before drywall")
    return people.actor_by_email(house.parts, email)


def test_who_sees_money_is_written_to_and_may_turn_it_off_unless_nobody_is_left(lite: House) -> None:
    enter(lite)
    clerk, buyer = colleague(lite, "Clerk", ("money",)), colleague(lite, "Buyer", ("accept",))
    lots = [lite.treated() for _ in range(3)]
    others = tuple(kind for kind in ("quotes", "days", "treated", "certificates", "reminders"))
    late(lite, lots[0], 7)
    reminding.remind(lite.parts)
    assert {to for _step, to in reminded(lite)} == {"clerk@example.com", "harriet@example.com"}

    colleagues.choose_letters(lite.parts, clerk, others)
    late(lite, lots[0], 32)
    reminding.remind(lite.parts)
    assert [to for step, to in reminded(lite) if step == "30"] == ["harriet@example.com"]

    colleagues.choose_letters(lite.parts, lite.builder, others)
    colleagues.choose_letters(lite.parts, buyer, (*others, "money"))
    again = lite.treated()
    late(lite, again, 7)
    reminding.remind(lite.parts)
    assert sorted(reminded(lite)[-2:]) == [("7", "clerk@example.com"), ("7", "harriet@example.com")]


def test_where_nobody_sees_money_the_company_s_own_address_is_written_to(lite: House) -> None:
    enter(lite)
    lot = lite.treated()
    with lite.parts.store.writing() as work:
        for person in work.session.query(Company).filter(Company.id == lite.builder.company_id):
            person.email = "desk@harrow.example.com"
        from portal.store.people import persons

        for one in persons(work, kind="builder", company_id=lite.builder.company_id):
            one.may_see_money = False
    late(lite, lot, 7)

    assert reminding.remind(lite.parts) == 1
    assert reminded(lite) == [("7", "desk@harrow.example.com")]


# Disputes and promises.


def test_a_dispute_is_said_once_and_settled_in_words(lite: House) -> None:
    lot = lite.treated()
    invoice = lite.invoice(lot).id

    assert problems(lambda: disputing.dispute(lite.parts, lite.builder, invoice, " ")) == {
        "reason": "Say what is not right."
    }
    disputing.dispute(lite.parts, lite.builder, invoice, "The east wall was bare.")
    assert ("disputed", "terrence@example.com") in lite.letters()
    assert "already" in refusal(lambda: disputing.dispute(lite.parts, lite.office, invoice, "Again."))
    assert problems(lambda: disputing.settle_dispute(lite.parts, lite.office, invoice, "")) == {
        "words": "Say how it was settled."
    }
    disputing.settle_dispute(lite.parts, lite.office, invoice, "It was wrapped: photo 3.")
    assert ("dispute_settled", "harriet@example.com") in lite.letters()
    assert "Nobody" in refusal(
        lambda: disputing.settle_dispute(lite.parts, lite.office, invoice, "Once more.")
    )
    disputing.dispute(lite.parts, lite.office, invoice, "They called.")  # another may follow
    assert [d.settled_on is None for d in _chase(lite, lot).disputes] == [True, False]


def test_what_is_paid_is_not_disputed_nor_another_builder_s(lite: House) -> None:
    paid, other = lite.paid(), lite.treated()

    assert "Nothing is open" in refusal(
        lambda: disputing.dispute(lite.parts, lite.office, lite.invoice(paid).id, "Too much.")
    )
    for act in (disputing.dispute, disputing.settle_dispute):
        with pytest.raises(NotFound):
            act(lite.parts, lite.rival, lite.invoice(other).id, "Mine.")


def test_a_promise_is_for_a_day_to_come_and_by_somebody(lite: House) -> None:
    lot = lite.treated()
    invoice, today = lite.invoice(lot).id, lite.parts.today()

    for day, said in (
        (None, "Enter the day it was promised by."),
        (today - timedelta(days=1), f"{today - timedelta(days=1)} is over."),
        (today + timedelta(days=366), "A promise is for a year at most."),
    ):
        found = problems(lambda day=day: disputing.promise(lite.parts, lite.office, invoice, day, "", ""))
        assert found == {"by_day": said, "said_by": "This is missing."}


def test_a_promise_that_passes_unpaid_needs_a_hand_and_a_new_one_takes_its_place(lite: House) -> None:
    from portal.acts import desk

    lot = lite.treated()
    invoice, day = lite.invoice(lot).id, late(lite, lot, 10)
    disputing.promise(lite.parts, lite.office, invoice, day + timedelta(days=3), "Harriet Finch", "By check.")
    assert desk.today(lite.parts, lite.office).broken == ()

    late(lite, lot, 14)
    found = desk.today(lite.parts, lite.office)
    assert [(one.by, one.day) for one in found.broken] == [("Harriet Finch", day + timedelta(days=3))]
    late_one = chase.chase(lite.parts, lite.office).late[0]
    assert late_one.promise is not None and late_one.promise.over

    disputing.promise(lite.parts, lite.office, invoice, day + timedelta(days=9), "Harriet Finch", "")
    assert desk.today(lite.parts, lite.office).broken == ()
    disputing.dispute(lite.parts, lite.builder, invoice, "No.")
    assert [one.words for one in desk.today(lite.parts, lite.office).disputed] == ["No."]
    disputing.settle_dispute(lite.parts, lite.builder, invoice, "Taken back.")
    lite.pay(lot, str(lite.open_of(lot)))
    found = desk.today(lite.parts, lite.office)
    assert (found.disputed, found.broken, found.overdue) == ((), (), ())


# The page.


def test_the_page_says_who_is_late_how_late_and_what_goes_out_next(lite: House) -> None:
    enter(lite)
    first = lite.treated()
    lite.clock.pass_by(days=28)
    lite.treated()
    late(lite, first, 1)  # June 4; the second is due on July 1

    page = chase.chase(lite.parts, lite.office)

    amount = Decimal("540.51")
    assert page.ageing.buckets == (amount, amount, 0, 0, 0)
    assert [(one.company, one.ageing.late) for one in page.builders] == [("Harrow & Finch Homes", amount)]
    assert [(one.days, one.next_on, one.next_days) for one in page.late] == [(1, date(2027, 6, 10), 7)]
    assert page.soon == ()
    late(lite, first, 22)
    page = chase.chase(lite.parts, lite.office)
    assert [(one.next_on, one.next_days) for one in page.soon] == [(date(2027, 6, 28), -3)]


# Interest.


def test_interest_only_where_the_invoice_says_so(lite: House) -> None:
    before = lite.treated()
    enter(lite, [], INTEREST)
    after = lite.treated()
    late(lite, after, 105)

    assert _chase(lite, before).interest is None
    said = refusal(lambda: _bill(lite, before, lite.parts.today(), Decimal(1)))
    assert said == "The terms on this invoice say nothing of interest, so none is billed."
    due = _chase(lite, after).interest
    # 540.51 x 0.0002 a day x 100 days, from the sixth day after the due day on
    assert due is not None and due.accrued.amount == Decimal("10.81")
    assert due.accrued.first == lite.invoice(after).document.due_on + timedelta(days=6)


def _bill(house: House, lot: str, until: date | None, amount: Decimal, key: str = "") -> str:
    return interest.bill_interest(
        house.parts, house.office, house.invoice(lot).id, until, amount, key or house.key()
    )


def test_interest_is_billed_by_hand_once_for_each_day(house: House) -> None:
    enter(house, [], INTEREST)
    lot = house.treated()
    until = late(house, lot, 55)  # 50 days: 5.4051
    key = house.key()

    bill = _bill(house, lot, until, Decimal("5.41"), key)
    assert _bill(house, lot, until, Decimal("5.41"), key) == bill
    assert house.letters().count(("money_paper", "harriet@example.com")) == 1

    with house.parts.store.reading() as work:
        row = owed.invoice(work, bill)
        assert (row.kind, row.total, books.open_of(work, bill)) == (
            "interest",
            Decimal("5.41"),
            Decimal("5.41"),
        )
        document = from_stored(InvoiceDocument, row.document)
        assert document.charge is not None and document.interest is None
        assert [line.what for line in document.owed.lines] == ["interest"] and document.owed.tax == 0
        assert work.session.get(InvoiceLot, (bill, lot)).speaks is False  # type: ignore[union-attr]
        invoice = owed.invoice_of(work, lot)
        assert invoice is not None and invoice.number == document.charge.invoice
    assert "first day that bears interest" in problems(
        lambda: _bill(house, lot, until, Decimal("5.41"))
    )["until"]  # fmt: skip
    later = late(house, lot, 65)
    due = _chase(house, lot).interest
    assert due is not None and due.accrued.first == until + timedelta(days=1)
    assert _bill(house, lot, later, Decimal("1.08"))
    assert [one.amount for one in _chase(house, lot).billed] == [Decimal("5.41"), Decimal("1.08")]
    assert "say nothing" in refusal(
        lambda: interest.bill_interest(house.parts, house.office, bill, later, Decimal(1), house.key())
    )


def test_two_who_bill_the_same_interest_at_once_bill_it_once(house: House) -> None:
    enter(house, [], INTEREST)
    lot = house.treated()
    until = late(house, lot, 55)

    answers = at_once(*[lambda: _bill(house, lot, until, Decimal("5.41"))] * 3)

    assert sum(isinstance(answer, str) for answer in answers) == 1
    assert house.rows(Invoice) == 2


def test_interest_that_has_changed_or_is_disputed_or_to_come_is_not_billed(lite: House) -> None:
    enter(lite, [], INTEREST)
    lot = lite.treated()
    until = late(lite, lot, 55)
    lite.pay(lot, "500", received_on=until - timedelta(days=10))

    assert "has changed" in refusal(lambda: _bill(lite, lot, until, Decimal("5.41")))
    assert problems(lambda: _bill(lite, lot, None, Decimal(1))) == {
        "until": "Enter the day up to which it is billed."
    }
    to_come = until + timedelta(days=1)
    assert problems(lambda: _bill(lite, lot, to_come, Decimal(1))) == {
        "until": f"{to_come} has not come yet."
    }
    disputing.dispute(lite.parts, lite.builder, lite.invoice(lot).id, "No.")
    assert "Settle that first" in refusal(lambda: _bill(lite, lot, until, Decimal("4.41")))
    # 540.51 for 40 days, 40.51 for 10: 4.32408 + 0.08102
    due = _chase(lite, lot).interest
    assert due is not None and due.accrued.amount == Decimal("4.41")


def test_net_thirty_from_january_25_2019_falls_due_on_february_24(new_house: Any, tmp_path: Any) -> None:
    """The published due day (facts section 6, F: a prompt payment calculator's example)."""
    from datetime import datetime

    from portal.store.migrate import upgrade
    from tests.parts.house import FIRM, ZONE

    url = f"sqlite:///{tmp_path}/old.db"
    upgrade(url)
    house = new_house(url, moment=datetime(2019, 1, 25, 8, tzinfo=ZONE))
    assert FIRM["net_days"] == 30

    lot = house.treated()

    assert house.invoice(lot).document.due_on == date(2019, 2, 24)
    enter(house)
    house.clock.turn_to(date(2019, 2, 24), 23, 59)
    assert chase.chase(house.parts, house.office).late == ()
    house.clock.turn_to(date(2019, 2, 25), 0, 0)
    assert [one.days for one in chase.chase(house.parts, house.office).late] == [1]
