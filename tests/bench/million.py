"""A store with a million warranties: `python3 -m tests.bench.million [--keep FILE] [--count N]`.

Loads them, says how long that took and how large it is, and how long the register's questions take.
The rows of the benchmark that look a warranty up among 1,000,000 use the same store (`rows_million.py`).
"""

from __future__ import annotations

import argparse
import shutil
import sqlite3
import sys
import time
from collections.abc import Callable, Iterator
from contextlib import closing, contextmanager
from pathlib import Path

from portal.acts import registering
from portal.acts.registering import RegisterFilter
from tests.bench.filled import a_house, copying
from tests.parts.house import House
from tests.parts.warranties import treated_with

MILLION = 1_000_000


@contextmanager
def a_million(count: int = MILLION) -> Iterator[House]:
    """A house with so many warranties, one of them made by acts; the others are copies under their own keys.

    Lots, warranties, register lines and product lots: what a lookup and the register touch. The documents of
    the copies are left empty, since neither reads another's than the one it finds; with them the file would
    be several times as large.
    """
    with a_house() as house:
        lot = treated_with(house, "Lot 1", "L-1", house_number="12-B")
        house.pay(lot, str(house.open_of(lot)))
        house.parts.store.engine.dispose()
        _load(file_of(house), count - 1)
        yield house


def file_of(house: House) -> Path:
    """The house's SQLite file."""
    return Path(str(house.parts.store.engine.url.database))


def _load(file: Path, count: int) -> None:
    # Without a journal and without waiting for the disk: what is loaded here is thrown away after a crash.
    with closing(sqlite3.connect(file, isolation_level=None)) as connection:
        for pragma in ("journal_mode=OFF", "synchronous=OFF", "foreign_keys=OFF", "cache_size=-500000"):
            connection.execute(f"PRAGMA {pragma}")
        for table in ("lot", "warranty", "register_line", "register_container"):
            connection.execute(copying(table, empty=("document",)), {"count": count})
        connection.execute("PRAGMA analysis_limit=1000")
        connection.execute("ANALYZE")


def main(argv: list[str]) -> int:
    """Load, and say how long each thing took."""
    parser = argparse.ArgumentParser(prog="python3 -m tests.bench.million")
    parser.add_argument("--count", type=int, default=MILLION, help="how many warranties (a million)")
    parser.add_argument("--keep", type=Path, metavar="FILE", help="keep the SQLite file there")
    asked = parser.parse_args(argv)
    begun = time.perf_counter()
    with a_million(asked.count) as house:
        file = file_of(house)
        print(f"{asked.count:,} warranties loaded in {time.perf_counter() - begun:.0f} s, "
              f"{file.stat().st_size / 2**30:.1f} GiB", flush=True)  # fmt: skip
        for name, question in questions(house).items():
            print(f"  {took(question) * 1000:9.1f} ms  {name}", flush=True)
        if asked.keep:
            house.parts.store.engine.dispose()
            shutil.copyfile(file, asked.keep)
    return 0


def questions(house: House) -> dict[str, Callable[[], object]]:
    """What the office asks of the register."""
    found = registering.register(house.parts, house.office, RegisterFilter(container="L-1")).rows
    real = next(row.number for row in found if row.house_number == "12-B")  # the one that acts made
    filters = {
        "the whole register, counted": RegisterFilter(),
        "a product lot": RegisterFilter(container="L-7"),
        "a certificate": RegisterFilter(certificate="CA-7"),
        "a subdivision and a year": RegisterFilter(subdivision="Subdivision 7", year=2020),
        "a year": RegisterFilter(year=2020),
        "void ones": RegisterFilter(state="void"),
        "in force": RegisterFilter(state="in force"),
        "part of an address": RegisterFilter(text="777 lime"),
        "a number": RegisterFilter(text=real),
        "a mistyped number": RegisterFilter(text=real[:-1] + ("2" if real[-1] != "2" else "3")),
    }
    return {
        name: lambda which=which: registering.register(house.parts, house.office, which)  # type: ignore[misc]
        for name, which in filters.items()
    }


def took(question: Callable[[], object], times: int = 3) -> float:
    """Seconds, the least of a few times."""
    found = []
    for _ in range(times):
        begun = time.perf_counter()
        question()
        found.append(time.perf_counter() - begun)
    return min(found)


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
