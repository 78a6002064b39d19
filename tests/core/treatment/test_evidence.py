"""The evidence a treatment needs: a whole entry passes, whatever is taken out is missed at its field."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, date, datetime, time
from decimal import Decimal
from typing import Any
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given
from hypothesis import strategies as st

from portal.core.documents import WallAsQuoted
from portal.core.errors import BadInput, Problem
from portal.core.treatment.evidence import READY, STATUSES, Asked, earliest_second_coat, read_evidence

CHICAGO = ZoneInfo("America/Chicago")
TICKED = ("cautions", "check_pass", "rinsed", *(f"ready.{key}" for key in READY))


def asked(statuses: list[str], *, crawl: bool = False, interior: str = "120", **changes: Any) -> Asked:
    """A stop of so many walls, on a Tuesday that is over."""
    walls = [
        WallAsQuoted(f"1.1.w{n}", "Main floor", f"wall {n}", Decimal(20), "20", s)
        for n, s in enumerate(statuses)
    ]
    known: dict[str, Any] = {
        "walls": walls, "interior_feet": Decimal(interior), "crawl_space": crawl, "day": date(2027, 5, 4),
        "zone": CHICAGO, "now": datetime(2027, 5, 5, tzinfo=UTC), "dry_minutes": Decimal(20),
        "planned": Decimal(3),
        "water_per_concentrate": Decimal(1), "planned_dye": Decimal(3),
    }  # fmt: skip
    return Asked(**known | changes)


def whole(stop: Asked, found: list[str]) -> dict[str, str]:
    """An entry with everything that is needed, and nothing else."""
    entry = dict.fromkeys(TICKED, "yes") | {
        "arrived": "07:30", "product": "Borate concentrate A", "registration": "00000-00", "concentrate": "3",
        "water": "3", "dye": "3", "applicator": "Wendell Pike", "certificate": "CA-1",
        "signed_by": "Wendell Pike",
    }  # fmt: skip
    if stop.crawl_space:
        entry["ready.respirator"] = "yes"
    if stop.interior_feet:
        entry |= {"interior.start": "10:00", "interior.end": "11:00"}
    for wall, status in zip(stop.walls, found, strict=True):
        entry |= {
            f"found.{wall.key}": status,
            f"first.{wall.key}.start": "08:00",
            f"first.{wall.key}.end": "08:10",
        }
        if status == "sided":
            entry |= {f"second.{wall.key}.start": "08:30", f"second.{wall.key}.end": "08:40"}
    return entry


def stop_and_found(walls: list[tuple[str, str]], crawl: bool, interior: str) -> tuple[Asked, list[str]]:
    """A stop with a photo of each wall that is found otherwise than quoted, and what is found."""
    seen = frozenset(f"1.1.w{n}" for n, (quoted, found) in enumerate(walls) if quoted != found)
    quoted = [quoted for quoted, _found in walls]
    stop = asked(quoted, crawl=crawl, interior=interior, photographed=seen)
    return stop, [found for _quoted, found in walls]


stops = st.builds(
    stop_and_found,
    st.lists(st.tuples(st.sampled_from(STATUSES), st.sampled_from(STATUSES)), min_size=1, max_size=6),
    st.booleans(), st.sampled_from(["0", "120"]),
)  # fmt: skip


@given(stops)
def test_a_whole_entry_passes_as_it_was_found(given: tuple[Asked, list[str]]) -> None:
    stop, found = given

    evidence = read_evidence(whole(stop, found), stop)

    assert [wall.found for wall in evidence.walls] == found
    assert [wall.coats for wall in evidence.walls] == [2 if status == "sided" else 1 for status in found]
    assert evidence.arrived == datetime(2027, 5, 4, 12, 30, tzinfo=UTC)
    assert (evidence.interior is None) == (not stop.interior_feet)
    assert len(evidence.checks) == 7 + stop.crawl_space


@given(stops, st.data())
def test_whatever_is_taken_out_is_missed_at_its_own_field(
    given: tuple[Asked, list[str]], data: st.DataObject
) -> None:
    stop, found = given
    entry = whole(stop, found)
    gone = data.draw(st.sets(st.sampled_from(sorted(entry)), min_size=1))

    with pytest.raises(BadInput) as caught:
        read_evidence({at: typed for at, typed in entry.items() if at not in gone}, stop)

    missed = {problem.at for problem in caught.value.problems}
    # A wall whose siding is not confirmed is not asked for a second coat yet.
    unasked = {
        at
        for at in gone
        if at.startswith("second.") and f"found.{at.split('.', 1)[1].rsplit('.', 1)[0]}" in gone
    }
    assert missed == gone - unasked


@given(stops)
def test_each_wall_found_otherwise_than_quoted_needs_its_photo(given: tuple[Asked, list[str]]) -> None:
    stop, found = given
    unseen = replace(stop, photographed=frozenset())
    otherwise = {f"photo.{w.key}" for w, f in zip(stop.walls, found, strict=True) if w.status != f}
    if not otherwise:
        read_evidence(whole(stop, found), unseen)
        return

    with pytest.raises(BadInput) as caught:
        read_evidence(whole(stop, found), unseen)

    assert {problem.at for problem in caught.value.problems} == otherwise


@given(
    st.dictionaries(
        st.sampled_from(sorted(whole(asked(["open", "sided"]), ["open", "sided"]))), st.text(max_size=30)
    )
)
def test_whatever_is_typed_it_is_read_or_refused_and_never_breaks(typed: dict[str, str]) -> None:
    stop = asked(["open", "sided"])
    told: tuple[Problem, ...] = ()
    try:
        evidence = read_evidence(whole(stop, ["open", "sided"]) | typed, stop)
    except BadInput as bad:
        evidence, told = None, bad.problems

    assert evidence is not None or told
    assert all(str(problem.says) for problem in told)


@given(st.integers(0, 60), st.decimals(0, 45, places=1))
def test_a_second_coat_passes_from_the_drying_time_on_and_not_a_minute_before(
    minutes: int, dry: Decimal
) -> None:
    stop = asked(["sided"], dry_minutes=dry)
    start = f"{8 + (10 + minutes) // 60:02}:{(10 + minutes) % 60:02}"
    entry = whole(stop, ["sided"]) | {"second.1.1.w0.start": start, "second.1.1.w0.end": "09:30"}

    if minutes >= dry:
        assert read_evidence(entry, stop)
    else:
        with pytest.raises(BadInput) as caught:
            read_evidence(entry, stop)
        assert [problem.at for problem in caught.value.problems] == ["second.1.1.w0.start"]


@given(st.decimals("0.01", 50, places=2))
def test_an_amount_within_four_times_the_plan_either_way_may_be_and_no_other(gallons: Decimal) -> None:
    stop = asked(["open"])
    entry = whole(stop, ["open"]) | {"concentrate": str(gallons), "water": str(gallons)}

    if Decimal("0.75") <= gallons <= 12:
        assert read_evidence(entry, stop).amounts.finished == 2 * gallons
    else:
        with pytest.raises(BadInput):
            read_evidence(entry, stop)


def test_the_page_is_told_when_a_second_coat_may_start() -> None:
    entry = {"first.a.end": " 08:10 ", "first.b.end": "8", "first.c.end": "23:50"}

    assert earliest_second_coat(entry, "a", Decimal("20.5")) == time(8, 31)
    assert earliest_second_coat(entry, "b", Decimal(20)) is None
    assert earliest_second_coat(entry, "d", Decimal(20)) is None
    assert earliest_second_coat(entry, "c", Decimal(20)) == time(0, 10)
