"""A process that enters a list is killed in its middle, again and again: then everything is there once."""

from __future__ import annotations

import os
import subprocess
import sys
import time
from pathlib import Path

import pytest

from portal.acts import many, many_entered, upkeep
from portal.store.tables import Letter, Lot, LotIdentity, Package, Takeoff
from tests.parts.house import House
from tests.parts.sheets import add_alder, big_sheet

pytestmark = [pytest.mark.long, pytest.mark.timeout(300)]

ROOT = Path(__file__).resolve().parents[2]
ENTER = """
import sys
from datetime import datetime
from portal import wiring
from portal.acts import many_entered
from portal.settings import from_environment
parts = wiring.build(from_environment(), lambda: datetime.fromisoformat(sys.argv[2]))
print("begun", flush=True)
while many_entered.go_on(parts, sys.argv[1]):
    print("chunk", flush=True)
print("done", flush=True)
"""


def begin(house: House, list_id: str) -> subprocess.Popen[str]:
    """A process of its own that enters the list."""
    own = {
        "SILLBOOK_DATABASE": house.settings.database, "SILLBOOK_BLOBS": str(house.settings.blobs),
        "SILLBOOK_SECRET": house.settings.secret, "SILLBOOK_BASE_URL": house.settings.base_url,
    }  # fmt: skip
    command = [sys.executable, "-c", ENTER, list_id, house.clock().isoformat()]
    return subprocess.Popen(
        command, cwd=ROOT, env=os.environ | own, text=True, stdout=subprocess.PIPE, stderr=subprocess.STDOUT
    )


def killed_after(process: subprocess.Popen[str], chunks: int, seconds: float) -> list[str]:
    """What the process said until it had done so many chunks and a little of the next; then it is gone."""
    assert process.stdout is not None
    said = [process.stdout.readline().strip()]
    while said.count("chunk") < chunks and said[-1] in ("begun", "chunk"):
        said.append(process.stdout.readline().strip())
    time.sleep(seconds)
    process.kill()
    process.wait(timeout=20)
    process.stdout.close()
    return said


def test_killed_in_the_middle_everything_is_entered_once(house: House) -> None:
    add_alder(house)
    list_id = many.read(house.parts, house.builder, "Tamarack Ford", big_sheet()[0], house.key())
    many_entered.enter(house.parts, house.builder, list_id)

    half = []
    for chunks, seconds in ((0, 0.02), (1, 0.03), (2, 0.05), (3, 0.08), (2, 0.11)):
        assert killed_after(begin(house, list_id), chunks, seconds) == ["begun", *["chunk"] * chunks]
        half.append(house.rows(Lot))

    assert 0 < half[-1] < 463 and half == sorted(half)
    assert all(lots % many_entered.CHUNK == 0 for lots in half), "a chunk is there whole, or not at all"
    many_entered.go_on_with_all(house.parts)

    assert many.look(house.parts, house.builder, list_id).list.counts == {"entered": 463, "bad": 37}
    assert [house.rows(table) for table in (Lot, LotIdentity, Takeoff, Package)] == [463, 463, 463, 1]
    assert upkeep.broken_link(house.parts) is None
    with house.parts.store.reading() as work:
        assert len({row.house_number for row in work.session.query(Lot)}) == 463
        told = [row.to for row in work.session.query(Letter) if row.subject == "asked_many"]
    assert sorted(told) == ["odile@example.com", "terrence@example.com"]
