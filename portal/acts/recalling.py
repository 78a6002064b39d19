"""A product lot or a technician's certificate found bad: every record it concerns, and letters prepared.

Nothing leaves by itself. A letter is frozen as it was prepared, a person reads it, and their press sends it.
"""

from __future__ import annotations

import hashlib
from dataclasses import dataclass, replace
from datetime import date
from typing import Any

from portal.acts.parts import Actor, Parts, must_be
from portal.acts.recall_letters import prepare
from portal.acts.registering import RegisterRow
from portal.acts.texts import check, text_problems
from portal.acts.trail import note, once
from portal.core.cover.filing import code_key
from portal.core.cover.places import plain
from portal.core.errors import Problem, refuse
from portal.core.words import say
from portal.store import holders, owed, recalls, registered
from portal.store.registered import RegisterFilter
from portal.store.transaction import Work

KINDS = ("product lot", "certificate")


@dataclass(frozen=True, slots=True)
class RecallAsked:
    """What was found bad, and the days of treatment it is about; without days, all of them."""

    kind: str
    value: str
    since: date | None = None
    until: date | None = None


@dataclass(frozen=True, slots=True)
class Concerned:
    """A record that a recall concerns. `amended`: a further page says something else of it, or of this."""

    row: RegisterRow
    holder: str
    mailed: bool
    amended: bool


@dataclass(frozen=True, slots=True)
class LetterRow:
    """A letter of a recall. `everybody`: it goes to all who sign in for a builder."""

    id: str
    name: str
    email: str
    everybody: bool
    subject: str
    text: str
    state: str
    decided_by: str


@dataclass(frozen=True, slots=True)
class RecallView:
    """A recall, the records it concerns, and its letters."""

    id: str
    number: str
    asked: RecallAsked
    found: str
    to_do: str
    made_by: str
    made_on: date
    records: list[Concerned]
    letters: list[LetterRow]

    @property
    def prepared(self) -> int:
        """How many letters wait for a person."""
        return sum(letter.state == "prepared" for letter in self.letters)


@dataclass(frozen=True, slots=True)
class RecallRow:
    """A recall in the list of them."""

    id: str
    number: str
    kind: str
    value: str
    made_by: str
    made_on: date
    records: int
    letters: dict[str, int]


def look(parts: Parts, who: Actor, asked: RecallAsked) -> list[Concerned]:
    """Every record that it concerns, in one step. Nothing is made or told by looking."""
    must_be(who, "office")
    _check(asked)
    with parts.store.reading() as work:
        return _concerned(parts, work, asked)


def _check(asked: RecallAsked) -> None:
    problems = text_problems("value", asked.value, 120, say("Enter what was found bad."))
    if not problems and not code_key(asked.value):
        problems = [
            Problem("value", say("“{read}” has no letter or digit to find it by.", read=asked.value[:20]))
        ]
    if asked.kind not in KINDS:
        problems.append(Problem("kind", say("Choose what it is.")))
    if asked.since and asked.until and asked.until < asked.since:
        problems.append(Problem("until", say("This is before the first day.")))
    check(problems)


def _concerned(parts: Parts, work: Work, asked: RecallAsked) -> list[Concerned]:
    amended, named = set(), []
    for warranty_id, page in recalls.amended(work):
        amended.add(warranty_id)
        # A record that names it only in what a further page says is concerned as much as one that names it.
        if any(code_key(asked.value) in plain(page[said]).replace(" ", "") for said in ("was", "now")):
            named.append(warranty_id)
    about = RegisterFilter(since=asked.since, until=asked.until)
    filters = [
        replace(about, container=asked.value) if asked.kind == "product lot" else
        replace(about, certificate=asked.value),
        *(replace(about, warranty_ids=tuple(some)) for some in recalls.in_parts(named)),
    ]  # fmt: skip
    return _listed(parts, work, filters, amended)


def _listed(parts: Parts, work: Work, filters: list[RegisterFilter], amended: set[str]) -> list[Concerned]:
    rows = {row.id: row for which in filters for row in registered.every_row(work, which, parts.today())}
    found: list[Concerned] = []
    for some in recalls.in_parts(list(rows)):
        held = holders.holders_now(work, some)
        for row in (rows[one] for one in some):
            holder = held.get(row.id)
            found.append(Concerned(row, holder.name if holder else "", bool(holder and holder.email),
                                   row.id in amended))  # fmt: skip
    return found


def mark_of(concerned: list[Concerned]) -> str:
    """A mark of these records and no others."""
    return hashlib.sha256(" ".join(sorted(one.row.id for one in concerned)).encode()).hexdigest()


def begin(
    parts: Parts, who: Actor, asked: RecallAsked, found: str, to_do: str, seen: str, once_key: str
) -> str:
    """Keep what was found bad, and prepare the letters; answers the recall's id. `seen`: the mark of the
    records that the person saw, so that nobody is written to whom nobody looked at."""
    must_be(who, "office")
    _check(asked)
    check(
        text_problems("found", found, 2000, say("Write what was found, as those concerned will read it.")),
        text_problems("to_do", to_do, 2000, say("Write what is done about it, and what they should do.")),
    )

    def do(work: Work) -> dict[str, Any]:
        concerned = _concerned(parts, work, asked)
        if not concerned:
            raise refuse("No record names it: there is nobody to write to.")
        if mark_of(concerned) != seen:
            raise refuse("These are not the houses that were listed before. Look at them, then press again.")
        row = recalls.add_recall(
            work, [one.row.id for one in concerned], number=owed.next_number(work, "RC", parts.today().year),
            kind=asked.kind, value=asked.value.strip(), value_key=code_key(asked.value), since=asked.since,
            until=asked.until, found=found.strip(), to_do=to_do.strip(), made_by=who.name,
        )  # fmt: skip
        prepare(parts, work, row, [one.row for one in concerned])
        for one in concerned:
            note(work, who, "recall", f"{row.number}, {one.row.number}", one.row.lot_id)
        return {"recall": row.id}

    said = [asked.kind, asked.value, asked.since, asked.until, found, to_do]
    return str(once(parts, who, "recall", once_key, do, said)["recall"])


def recall(parts: Parts, who: Actor, recall_id: str) -> RecallView:
    """A recall. Raises `NotFound`."""
    must_be(who, "office")
    with parts.store.reading() as work:
        row = recalls.recall(work, recall_id)
        amended = {warranty_id for warranty_id, _page in recalls.amended(work)}
        return RecallView(
            row.id, row.number, RecallAsked(row.kind, row.value, row.since, row.until), row.found, row.to_do,
            row.made_by, row.made_at.astimezone(parts.zone).date(),
            _listed(parts, work, [RegisterFilter(recall_id=row.id)], amended),
            [letter_row(one) for one in recalls.letters(work, row.id)],
        )  # fmt: skip


def letter_row(row: Any) -> LetterRow:
    """A kept letter, frozen."""
    return LetterRow(row.id, row.name, row.email, row.company_id is not None, row.subject, row.text,
                     row.state, row.decided_by)  # fmt: skip


def recall_letter(parts: Parts, who: Actor, recall_id: str, letter_id: str) -> LetterRow:
    """One letter, to be read. Raises `NotFound`."""
    must_be(who, "office")
    with parts.store.reading() as work:
        return letter_row(recalls.letter(work, recall_id, letter_id))


def list_recalls(parts: Parts, who: Actor) -> list[RecallRow]:
    """All recalls, newest first."""
    must_be(who, "office")
    with parts.store.reading() as work:
        return [
            RecallRow(row.id, row.number, row.kind, row.value, row.made_by,
                      row.made_at.astimezone(parts.zone).date(), count, letters)
            for row, count, letters in recalls.recalls(work)
        ]  # fmt: skip
