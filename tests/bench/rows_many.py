"""The row of many lots at once: a sheet of 500, 37 of them with a mistake, from its bytes to 463 lots."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import count

from sqlalchemy import event, text

from portal.acts import many, many_entered
from portal.store.tables import Lot
from tests.bench.filled import a_house
from tests.bench.harness import Pair, row
from tests.bench.rows_acts import rows_written
from tests.parts.house import House
from tests.parts.sheets import FAULTS, LOTS, add_alder, big_sheet


def commits(house: House, act: object) -> int:
    """How many transactions an act commits."""
    seen: list[object] = []
    note = seen.append
    event.listen(house.parts.store.engine, "commit", note)
    act()  # type: ignore[operator]
    event.remove(house.parts.store.engine, "commit", note)
    return len(seen)


@row(
    "a sheet of 500 lots with 37 mistakes: read, checked, 463 entered", aim=5,
    against="bare commits of as many rows",
    why="a lot is read, worked out, looked at, asked for by the same act as any other and chained to the "
    "history by a hash: some three milliseconds of Python a lot, where the floor has its rows at hand",
)  # fmt: skip
def many_lots() -> Iterator[Pair]:
    """The floor inserts as many rows of as many bytes, a statement a row, in as many transactions."""
    with a_house() as house:
        add_alder(house)
        sheet, numbers = big_sheet()[0], count(1)

        def enter() -> None:
            number = next(numbers)
            data = sheet.replace(b"Sluice Road", f"Sluice Road {number}".encode())
            list_id = many.read(house.parts, house.builder, "Bench", data, f"bench-{number}")
            many_entered.enter(house.parts, house.builder, list_id)
            many_entered.go_on_with_all(house.parts)

        sizes = rows_written(house, enter)
        goes = commits(house, enter)
        with house.parts.store.writing() as work:
            work.session.execute(text("CREATE TABLE bare (id INTEGER PRIMARY KEY, body TEXT)"))
        bodies = ["x" * size for size in sizes]

        def bare() -> None:
            for go in range(goes):
                with house.parts.store.writing() as work:
                    connection = work.session.connection()
                    for body in bodies[go::goes]:
                        connection.exec_driver_sql("INSERT INTO bare (body) VALUES (?)", (body,))

        yield Pair(floor=bare, subject=enter, turns=5)
        with house.parts.store.reading() as work:
            assert work.session.query(Lot).count() % (LOTS - FAULTS) == 0  # it was really done
