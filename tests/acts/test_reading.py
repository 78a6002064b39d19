"""Lists and sheets: what each shows, to whom, and with how few questions to the database."""

from __future__ import annotations

from collections.abc import Callable
from datetime import timedelta

import pytest

from portal.acts import covering, desk, money_in, people, quoting, registering, treating
from portal.acts import sheet as sheets
from portal.store.reads import LotFilter
from portal.store.registered import RegisterFilter
from tests.parts.counting import counted
from tests.parts.house import House

pytestmark = pytest.mark.slow

STAGES = ("asked", "to_check", "approved", "sent", "accepted", "booked", "treated", "paid")


def names(house: House, **which: object) -> list[str]:
    page = desk.list_lots(house.parts, house.office, LotFilter(**which))  # type: ignore[arg-type]
    return [row.name for row in page.rows]


def test_a_list_counts_and_finds_lots_by_stage_as_of_today(house: House) -> None:
    for stage in STAGES:
        getattr(house, stage)(name=stage)
    house.clock.pass_by(days=31)

    page = desk.list_lots(house.parts, house.builder, LotFilter())

    assert page.counts == {
        "asked": 1, "to check": 1, "approved": 1, "lapsed": 1, "accepted": 1, "booked": 1, "treated": 1,
        "in force": 1,
    }  # fmt: skip
    assert {row.name: row.stage for row in page.rows}["sent"] == "lapsed"
    assert names(house, stages=("lapsed",)) == ["sent"]
    assert names(house, stages=("sent",)) == []
    assert sorted(names(house, stages=("lapsed", "asked", "in force"))) == ["asked", "paid", "sent"]
    house.clock.pass_by(days=4000)
    assert names(house, stages=("expired",)) == ["paid"]
    assert names(house, stages=("in force",)) == []
    before = desk.list_lots(house.parts, house.office, LotFilter()).counts
    quoting.lapse(house.parts)
    covering.expire(house.parts)
    assert desk.list_lots(house.parts, house.office, LotFilter()).counts == before


def test_a_list_finds_by_part_of_a_name_street_or_builder_and_by_house_number(house: House) -> None:
    house.asked(name="Lot 1", house_number="12", street="Ferry Oak Court")
    house.asked(name="Lot 2", house_number="120", street="Sluice_Road", subdivision="Kiln Field")
    house.asked(by=house.rival, name="Lot 3", house_number="14", street="Sluice Road")

    assert names(house, text="ferry") == ["Lot 1"]
    assert names(house, text="12") == ["Lot 1"]
    assert sorted(names(house, text="lot")) == ["Lot 1", "Lot 2", "Lot 3"]
    assert names(house, text="osier") == ["Lot 3"]
    assert names(house, text="e_r") == ["Lot 2"]  # typed, not a wildcard
    assert names(house, subdivision="Kiln Field") == ["Lot 2"]


def test_pages_follow_one_another_without_a_gap_or_a_double(lite: House) -> None:
    for n in range(120):
        lite.clock.pass_by(seconds=n % 3)  # some at the same moment
        lite.asked(name=f"{n:03}")

    seen, which, pages = [], LotFilter(), 0
    while True:
        page = desk.list_lots(lite.parts, lite.office, which)
        seen += [row.name for row in page.rows]
        pages += 1
        if page.more is None:
            break
        which = page.more

    assert sorted(seen) == [f"{n:03}" for n in range(120)]
    assert pages == 3


def test_today_shows_what_needs_a_hand_oldest_first(lite: House) -> None:
    for name in ("first", "second"):
        lite.clock.pass_by(minutes=1)
        lite.asked(name=name)
    lite.approved(name="approved")
    lite.accepted(name="to book")
    lite.booked(name="booked")
    lite.treated(name="to sign off")
    lot = lite.sent(name="declined")
    quoting.decline(lite.parts, lite.builder, lot, 1, "No.", lite.key())

    day = desk.today(lite.parts, lite.office)

    assert [row.name for row in day.asked] == ["first", "second"]
    assert [[row.name for row in rows] for rows in (day.approved, day.declined)] == [
        ["approved"],
        ["declined"],
    ]
    assert [[row.lot for row in rows] for rows in (day.to_book, day.booked, day.to_sign_off)] == [
        ["to book"], ["booked"], ["to sign off"],
    ]  # fmt: skip


def test_what_is_to_be_booked_is_listed_by_when_its_window_closes(lite: House) -> None:
    soon = lite.parts.today() + timedelta(days=3)
    lite.accepted(name="whenever")
    lite.accepted(name="insulation", insulation_starts=soon)
    lite.accepted(name="siding", siding_starts=soon - timedelta(days=1), insulation_starts=soon)

    assert [row.lot for row in desk.today(lite.parts, lite.office).to_book] == [
        "siding",
        "insulation",
        "whenever",
    ]


def test_a_builder_reads_of_the_history_what_concerns_it(lite: House) -> None:
    lot = lite.treated()
    covering.keep_held(lite.parts, lite.office, lot, "They owe us for three more.")
    treating.sign_off(lite.parts, lite.office, lot)

    lines = lite.sheet(lot, lite.builder).history

    said = [str(line.verb) for line in lines]
    assert "kept the warranty held" not in said and "approved the quote" not in said
    assert "marked it treated" in said
    assert all(line.details == {} for line in lines)


@pytest.mark.parametrize("stage", STAGES)
def test_a_sheet_can_be_shown_at_every_stage_to_both(house: House, stage: str) -> None:
    lot = getattr(house, stage)()

    for who in (house.office, house.builder):
        sheet = house.sheet(lot, who)
        assert (
            sheet.id == lot and len(sheet.sheets) == 5 and sheet.takeoff.estimate["feet"]["total"] == "296.00"
        )


#: Statements a sheet takes: how many, and no more however much has happened on the lot. From the answer on,
#: one of them is for who said yes; until it is sent, two for what was agreed with the builder:
#: prices, and how it is billed; and two for its taxes.
MOST = {
    "asked": 3,
    "to_check": 11,
    "approved": 11,
    "sent": 5,
    "accepted": 6,
    "booked": 6,
    "treated": 8,
    "paid": 8,
}


@pytest.mark.parametrize("stage", STAGES)
def test_a_sheet_asks_few_questions(lite: House, stage: str) -> None:
    lot = getattr(lite, stage)()

    with counted(lite.parts.store) as sent:
        lite.sheet(lot)

    assert len(sent) <= MOST[stage], "\n".join(sent)


@pytest.mark.parametrize(
    ("ask", "most"),
    [
        (lambda h: desk.list_lots(h.parts, h.office, LotFilter()), 2),
        (lambda h: desk.list_lots(h.parts, h.builder, LotFilter()), 3),
        (lambda h: desk.today(h.parts, h.office), 16),
        (lambda h: desk.money(h.parts, h.office, open_only=False), 5),
        (lambda h: money_in.look(h.parts, h.office), 6),
        (lambda h: treating.my_stops(h.parts, h.technician), 2),
        (lambda h: registering.register(h.parts, h.office, RegisterFilter()), 4),
        (lambda h: people.everybody(h.parts, h.office), 3),
    ],
)
def test_a_list_asks_the_same_few_questions_however_long_it_is(
    lite: House, ask: Callable[[House], object], most: int
) -> None:
    for _ in range(3):
        lite.paid()
        lite.booked()

    with counted(lite.parts.store) as sent:
        ask(lite)

    assert len(sent) <= most, "\n".join(sent)


def test_a_warranty_is_found_with_one_question_by_an_index(lite: House) -> None:
    number = lite.warranty(lite.paid()).number

    with counted(lite.parts.store) as sent:
        covering.find(lite.parts, number, "101", "203.0.113.7")

    assert sum("FROM warranty" in statement for statement in sent) == 1
    # The tries of the address and of the number, the warranty, and what was added to its record.
    assert len(sent) <= 4


def test_another_kind_of_sheet_is_not_made_by_reading(lite: House) -> None:
    lot = lite.paid()
    version = lite.version(lot)

    for who in (lite.office, lite.builder):
        sheets.sheet(lite.parts, who, lot)

    assert lite.version(lot) == version
