"""The states and the only moves between them: every pair, allowed or refused."""

from __future__ import annotations

from datetime import date
from itertools import product

import pytest

from portal.core.errors import Refused
from portal.core.journey import (
    ENDS_AS,
    INVOICE,
    JOB,
    QUOTE,
    STAGES,
    WARRANTY,
    Moves,
    move,
    sheet_states,
    stage_of,
    state_on,
)

#: Written out by hand, so that the code's own table is not its own judge.
ALLOWED = {
    "quote": (QUOTE, """
        to check > approved, superseded
        approved > to check, sent, superseded
        sent > accepted, declined, lapsed, superseded
        lapsed > superseded
        declined > superseded
        accepted >
        superseded >"""),
    "job": (JOB, """
        unscheduled > booked, called off
        booked > booked, unscheduled, on site, called off
        on site > treated, booked, unscheduled, called off
        treated > signed off
        signed off >
        called off > unscheduled"""),
    "invoice": (INVOICE, """
        issued > issued, part paid, paid, credited, written off
        part paid > issued, part paid, paid, credited, written off
        paid > issued, part paid, paid, credited, written off
        credited > issued, part paid, paid, credited, written off
        written off > issued, part paid, paid, credited, written off"""),
    "warranty": (WARRANTY, """
        held > in force, void
        in force > expired, void
        expired > in force
        void >"""),
}  # fmt: skip


def written(table: str) -> dict[str, set[str]]:
    lines = (line.partition(">") for line in table.strip().splitlines())
    return {now.strip(): {to.strip() for to in then.split(",") if to.strip()} for now, _, then in lines}


PAIRS = [
    (kind, now, to) for kind, (_, table) in ALLOWED.items() for now, to in product(written(table), repeat=2)
]


@pytest.mark.parametrize(("kind", "now", "to"), PAIRS)
def test_a_move_is_allowed_or_refused_in_words(kind: str, now: str, to: str) -> None:
    moves, table = ALLOWED[kind]

    if to in written(table)[now]:
        assert move(moves, now, to) == to
    else:
        with pytest.raises(Refused, match=f"It is {now}, so it cannot become {to}."):
            move(moves, now, to)


@pytest.mark.parametrize("moves", [QUOTE, JOB, INVOICE, WARRANTY])
def test_every_state_that_can_be_reached_has_its_moves(moves: Moves) -> None:
    assert {to for then in moves.values() for to in then} <= set(moves)


@pytest.mark.parametrize(
    ("quote", "job", "invoice", "warranty", "stage"),
    [
        (None, None, None, None, "asked"),
        ("to check", None, None, None, "to check"),
        ("approved", None, None, None, "approved"),
        ("sent", None, None, None, "sent"),
        ("declined", None, None, None, "declined"),
        ("lapsed", None, None, None, "lapsed"),
        ("superseded", None, None, None, "asked"),
        ("accepted", "unscheduled", None, None, "accepted"),
        ("accepted", "called off", None, None, "accepted"),
        ("accepted", "booked", None, None, "booked"),
        ("accepted", "on site", None, None, "on site"),
        ("accepted", "treated", "issued", "held", "treated"),
        ("accepted", "signed off", "issued", "held", "treated"),
        ("accepted", "signed off", "part paid", "held", "part paid"),
        ("accepted", "signed off", "paid", "held", "paid"),
        ("accepted", "signed off", "paid", "in force", "in force"),
        ("accepted", "treated", "issued", "in force", "in force"),
        ("accepted", "signed off", "paid", "expired", "expired"),
        ("accepted", "treated", "part paid", "void", "void"),
    ],
)
def test_the_furthest_record_says_how_far_a_lot_has_come(
    quote: str | None, job: str | None, invoice: str | None, warranty: str | None, stage: str
) -> None:
    assert stage_of(quote, job, invoice, warranty) == stage
    assert stage in STAGES


def test_whatever_the_four_say_there_is_a_stage_and_five_sheets() -> None:
    for states in product(*([None, *moves] for moves in (QUOTE, JOB, INVOICE, WARRANTY))):
        assert len(sheet_states(stage_of(*states))) == 5


@pytest.mark.parametrize("stage", STAGES)
def test_the_sheets_go_from_left_to_right(stage: str) -> None:
    order = ("done", "now", "next", "ahead")

    states = sheet_states(stage)

    assert list(states) == sorted(states, key=order.index)
    assert states.count("now") <= 1 and states.count("next") <= 1


@pytest.mark.parametrize(("state", "after"), ENDS_AS.items())
def test_what_ends_by_itself_has_ended_the_day_after_its_last(state: str, after: str) -> None:
    last = date(2028, 2, 29)

    assert state_on(state, last, last) == state
    assert state_on(state, last, date(2028, 3, 1)) == after
    assert state_on(state, None, date(9999, 1, 1)) == state
    assert state_on("held", last, date(9999, 1, 1)) == "held"
