"""What several phones enter, merged: whatever the order, however often, one thing comes of it.

What is asked of a merge of replicas that were apart: the same for any order and any repetition (Shapiro,
Preguiça, Baquero, Zawirski, "Conflict-free Replicated Data Types", SSS 2011: commutative, associative,
idempotent); and what two did without knowing of each other is told, not guessed (Lamport, "Time, Clocks,
and the Ordering of Events in a Distributed System", 1978: concurrent is what neither happened before).
"""

from __future__ import annotations

import uuid
from datetime import UTC, datetime, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from portal.core.treatment.entries import (
    NAMES,
    UUID4,
    Entry,
    clocks_off,
    conflict_problems,
    merge,
    settles,
    typed_over,
)

pytestmark = pytest.mark.slow

MORNING = datetime(2027, 5, 4, 13, tzinfo=UTC)


def entry(name: str, value: str, *knows: str, field: str = "first.1.1.N.end", minute: int = 0) -> Entry:
    return Entry(name, field, value, knows, MORNING + timedelta(minutes=minute))


@pytest.mark.parametrize(
    ("entries", "value", "differing"),
    [
        ([entry("a", "08:10")], "08:10", []),
        # The second knew of the first, and replaced it, whatever its clock said.
        ([entry("a", "08:10", minute=9), entry("b", "08:12", "a")], "08:12", []),
        # Neither knew of the other.
        ([entry("a", "08:10"), entry("b", "08:25", minute=1)], "08:25", ["a", "b"]),
        # Neither knew of the other, but both say the same.
        ([entry("a", "08:10"), entry("b", "08:10")], "08:10", []),
        # Both knew of the same one: a fork.
        ([entry("a", "1"), entry("b", "2", "a"), entry("c", "3", "a", minute=1)], "3", ["b", "c"]),
        # The office picked, knowing of both.
        ([entry("b", "2"), entry("c", "3"), entry("o", "2", "b", "c")], "2", []),
        # And then a phone that had not heard of it went on from its own.
        ([entry("b", "2"), entry("c", "3"), entry("o", "2", "b", "c"), entry("d", "4", "c", minute=5)],
         "4", ["o", "d"]),
        # It replaces one that never came.
        ([entry("b", "2", "lost")], "2", []),
        # Forged: two that replace each other, and one that replaces itself.
        ([entry("a", "1", "b"), entry("b", "2", "a", minute=1)], "2", ["a", "b"]),
        ([entry("a", "1", "a")], "1", []),
    ],
)  # fmt: skip
def test_what_a_field_holds_and_whether_two_differ(
    entries: list[Entry], value: str, differing: list[str]
) -> None:
    merged = merge(entries)

    assert merged.values == {"first.1.1.N.end": value}
    assert [head.id for head in merged.conflicts.get("first.1.1.N.end", ())] == differing


FIELDS = [
    f"{coat}.1.1.{wall}.{edge}"
    for coat in ("first", "second")
    for wall in "NESW"
    for edge in ("start", "end")
]


@st.composite
def two_phones(draw: st.DrawFn, apart: bool = False) -> list[Entry]:
    """What two phones enter, each knowing only what it entered itself; `apart`: each on walls of its own."""
    found: list[Entry] = []
    for phone, walls in (("p", "NE"), ("q", "SW")):
        fields = [name for name in FIELDS if name.split(".")[3] in walls] if apart else FIELDS
        last: dict[str, str] = {}
        for n, field in enumerate(draw(st.lists(st.sampled_from(fields), max_size=12))):
            name = f"{phone}{n}"
            knows = (last[field],) if field in last else ()
            value = draw(st.sampled_from(["08:10", "08:20", "09:05", ""]))
            found.append(entry(name, value, *knows, field=field, minute=draw(st.integers(-90, 90))))
            last[field] = name
    return found


@given(two_phones(), st.randoms(use_true_random=False))
def test_the_order_in_which_entries_arrive_does_not_matter(entries: list[Entry], chance: object) -> None:
    shuffled = list(entries)
    chance.shuffle(shuffled)  # type: ignore[attr-defined]

    assert merge(shuffled) == merge(entries)


@given(two_phones(), st.data())
def test_sending_any_of_them_again_changes_nothing(entries: list[Entry], data: st.DataObject) -> None:
    again = data.draw(st.lists(st.sampled_from(entries), max_size=20)) if entries else []

    assert merge([*entries, *again]) == merge(entries)


@given(two_phones(apart=True))
def test_two_phones_on_stretches_of_their_own_never_differ(entries: list[Entry]) -> None:
    merged = merge(entries)

    assert merged.conflicts == {}
    last = {one.field: one.value for one in entries}  # each phone's are in its own order
    assert merged.values == last


@given(two_phones())
def test_nothing_that_nobody_replaced_is_ever_lost(entries: list[Entry]) -> None:
    merged = merge(entries)

    replaced = {other for one in entries for other in one.knows}
    assert {one.id for one in entries} - replaced == {
        head for heads in merged.heads.values() for head in heads
    }


def test_only_what_knows_of_two_that_differ_would_settle_it() -> None:
    merged = merge([entry("a", "1"), entry("b", "2")])
    alike = merge([entry("a", "1"), entry("b", "1")])

    assert settles(entry("c", "1", "a", "b"), merged)
    assert not settles(entry("c", "1", "a"), merged)
    assert not settles(entry("c", "2", "a", "b"), alike)


def test_a_conflict_is_told_at_its_field_with_both() -> None:
    (problem,) = conflict_problems(merge([entry("a", "08:10"), entry("b", "08:25", minute=1)]))

    assert problem.at == "first.1.1.N.end"
    assert str(problem.says) == (
        "Two phones entered different things: “08:10” and “08:25”. The office picks one of them."
    )


@pytest.mark.parametrize(
    ("typed", "changes"),
    [
        ({"water": "3", "dye": "2", "day": "x"}, {}),
        ({"water": "4", "dye": "2", "day": "x"}, {"water": "4"}),
        ({"dye": "2", "day": "x"}, {"water": ""}),
        ({"water": "3", "dye": "2"}, {"day": ""}),
        ({"water": "3", "dye": "2", "day": "x", "rinsed": "yes", "problems": ""}, {"rinsed": "yes"}),
    ],
)
def test_a_form_changes_only_what_says_something_else_than_where_it_was_opened(
    typed: dict[str, str], changes: dict[str, str]
) -> None:
    shown = merge([entry("a", "3", field="water"), entry("b", "2", field="dye")])

    assert typed_over(shown, {"day": "x"}, typed) == changes


@pytest.mark.parametrize(("seconds", "told"), [(0, ()), (170, ()), (-170, ()), (300, (5,)), (-2820, (-47,))])
def test_a_clock_is_told_of_once_it_is_off_by_minutes(seconds: int, told: tuple[int, ...]) -> None:
    off = Entry("a", "water", "3", (), MORNING, offset_seconds=seconds)

    assert clocks_off([off, off]) == told


def test_a_device_makes_its_ids_as_uuids_of_version_4() -> None:
    """RFC 9562, appendix A.3, has 919108f7-52d1-4320-9bac-f847db4148a8; Python's own maker agrees."""
    assert UUID4.fullmatch("919108f7-52d1-4320-9bac-f847db4148a8")
    assert all(UUID4.fullmatch(str(uuid.uuid4())) for _ in range(50))
    # RFC 9562, appendices A.1 and A.6: of versions 1 and 7.
    assert not UUID4.fullmatch("c232ab00-9414-11ec-b3c8-9f6bdeced846")
    assert not UUID4.fullmatch("017f22e2-79b0-7cc3-98c4-dc0c0c07398f")


@pytest.mark.parametrize(
    "name", ["sly", "csrf_token", "found.", "first.1.1.N", "mixed.x", "arrived\n", "ready"]
)
def test_what_is_no_part_of_an_entry_has_no_name_in_it(name: str) -> None:
    assert not NAMES.fullmatch(name)
