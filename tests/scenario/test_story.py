"""The demo's story: the same on the same day, whole on any day, in the order of time, invented."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from datetime import date
from pathlib import Path
from typing import Any
from zoneinfo import ZoneInfo

import pytest
from sqlalchemy import text

from portal import wiring
from portal.acts import upkeep
from portal.settings import Settings
from portal.store.reads import LotFilter, lots
from portal.store.tables import (
    Addition,
    Base,
    History,
    Holder,
    HousePlan,
    Invoice,
    Job,
    Letter,
    Lot,
    Person,
    PlanEdition,
    Trouble,
)
from portal.store.transaction import Store, Work, connect
from seed_demo import scenario
from seed_demo.scenario.plans import LOTS
from seed_demo.scenario.promise import ADA, BEN

pytestmark = pytest.mark.slow

STAGES = {
    "asked": 1, "to check": 1, "approved": 1, "sent": 4, "lapsed": 1, "declined": 1, "accepted": 4,
    "booked": 6,
    "treated": 2, "part paid": 3, "paid": 1, "in force": 1,
}  # fmt: skip

#: A Tuesday, and days that are not like others: a leap day, New Year, a Sunday, a change of the clocks.
DAYS = [date(2027, 5, 4), date(2028, 2, 29), date(2027, 1, 1), date(2027, 5, 9), date(2027, 3, 14)]


@pytest.fixture
def told(
    migrated_sqlite: Path, tmp_path_factory: pytest.TempPathFactory
) -> Iterator[Callable[[date], Store]]:
    """Tells the story up to a day; the store it was told into."""
    opened: list[Store] = []

    def tell(day: date) -> Store:
        folder = tmp_path_factory.mktemp("told")
        (folder / "demo.db").write_bytes(migrated_sqlite.read_bytes())
        database = f"sqlite:///{folder / 'demo.db'}"
        scenario.load(Settings(database, folder / "papers", "s" * 40, "http://127.0.0.1", demo=True), day)
        opened.append(Store(connect(database), wiring.now, lambda: "unused"))
        return opened[-1]

    yield tell
    for store in opened:
        store.engine.dispose()


def rows(store: Store) -> dict[str, list[Any]]:
    """Everything in the database, but what is random on purpose."""
    with store.reading() as work:
        return {
            name: [
                {column: value for column, value in row.items() if column != "password_hash"}
                for row in work.session.execute(text(f'SELECT * FROM "{name}"')).mappings()
            ]
            for name in Base.metadata.tables
        }


def stages(work: Work, day: date) -> dict[str, int]:
    found = [row.stage for row in lots(work, LotFilter(today=day), 100)]
    return {stage: found.count(stage) for stage in found}


def test_the_same_day_gives_the_same_demo_to_the_last_row(told: Callable[[date], Store]) -> None:
    assert rows(told(DAYS[0])) == rows(told(DAYS[0]))


@pytest.mark.parametrize("day", DAYS, ids=str)
def test_every_stage_is_there_on_any_day_and_nothing_has_happened_yet_to_come(
    told: Callable[[date], Store], day: date
) -> None:
    with told(day).reading() as work:
        assert stages(work, day) == STAGES
        history = work.session.query(History).order_by(History.seq).all()
        moments = [line.at for line in history]
        booked = {job.day for job in work.session.query(Job) if job.state == "booked"}
        numbers = [
            row.number for row in work.session.query(Invoice).order_by(Invoice.issued_on, Invoice.number)
        ]

    assert moments == sorted(moments)  # told in the order of time
    assert moments[-1].astimezone(ZoneInfo(Settings.zone)).date() < day
    assert len(history) > 90
    assert min(booked) == day and max(booked) > day and max(booked).weekday() < 5
    assert numbers == sorted(numbers)


def test_house_plans_are_kept_one_with_two_editions_one_retired_and_a_lot_made_from_one(
    told: Callable[[date], Store],
) -> None:
    with told(DAYS[0]).reading() as work:
        plans = {plan.id: plan for plan in work.session.query(HousePlan)}
        editions = work.session.query(PlanEdition).all()
        made = [lot for lot in work.session.query(Lot) if lot.plan_edition_id]

    assert {plan.name for plan in plans.values()} == {"The Cobble", "The Linnet", "Wren Cabin"}
    assert [plan.name for plan in plans.values() if plan.retired_at] == ["Wren Cabin"]
    assert len(editions) == 5
    assert [(lot.name, lot.mirrored) for lot in made] == [("Lot 10", False)]


def test_the_history_fits_and_letters_went_to_the_cast_only(told: Callable[[date], Store]) -> None:
    store = told(DAYS[0])

    with store.reading() as work:
        cast = {person.email for person in work.session.query(Person)}
        letters = work.session.query(Letter).all()
        # And to the two owners of one house, who sign in nowhere.
        assert {letter.to for letter in letters} - cast == {ADA[1], BEN[1]}
        assert {letter.to.rpartition(".")[2] for letter in letters} == {"com"}
        assert all("example." in letter.to for letter in letters)


def test_a_house_has_trouble_treated_again_a_second_owner_and_wood_to_add(
    told: Callable[[date], Store],
) -> None:
    with told(DAYS[0]).reading() as work:
        troubles = work.session.query(Trouble).order_by(Trouble.number).all()
        again = work.session.query(Lot).filter_by(kind="retreatment").one()
        holders = work.session.query(Holder).order_by(Holder.since).all()
        additions = work.session.query(Addition).all()

    assert [(row.state, row.decision) for row in troubles] == [("closed", "covered"), ("reported", "")]
    assert troubles[0].retreat_lot_id == again.id and again.stage == "treated"
    assert [(row.name, row.until is None) for row in holders] == [(ADA[0], False), (BEN[0], True)]
    assert [(row.asked_by, row.state) for row in additions] == [("holder", "asked")]


def test_nothing_in_it_is_a_real_phone_number_or_domain(told: Callable[[date], Store]) -> None:
    kept = rows(told(DAYS[0]))
    everything = repr(kept)

    phones = {company["phone"] for company in kept["company"]} | set(
        re.findall(r"\b\d{3}-\d{4}\b(?!-)", everything)
    )
    ours = {number[-8:] for number in re.findall(r"\b(?:INV|TR|Q|J|PO|P)-\d{4}-\d{4}", everything)}
    domains = set(re.findall(r"@([\w.-]+\w)", everything))

    assert {"555-0120", "555-0100"} <= phones
    assert {phone for phone in phones - ours if not re.fullmatch(r"555-01\d\d", phone)} == set()
    assert {domain for domain in domains if not re.search(r"(^|\.)example\.(com|org|net)$", domain)} == set()


def test_the_four_kinds_of_user_are_named(told: Callable[[date], Store], tmp_path: Path) -> None:
    database = str(told(DAYS[0]).engine.url)
    parts = wiring.build(Settings(database, tmp_path, "s" * 40, "http://127.0.0.1", demo=True))

    found = scenario.sign_ins(parts)

    assert [kind for kind, *_ in found] == ["Builder", "Office", "Technician", "Homeowner"]
    assert upkeep.broken_link(parts) is None
    parts.store.engine.dispose()


def test_fourteen_lots_of_different_shapes_and_foundations() -> None:
    assert [plan.number for plan in LOTS] == list(range(1, 15))
    assert {plan.foundation for plan in LOTS} == {"slab", "basement", "crawl space"}
    assert len({plan.house["name"] for plan in LOTS}) >= 8
    assert min(plan.asked for plan in LOTS) > -120 and max(plan.asked for plan in LOTS) < 0
