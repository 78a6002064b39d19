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
PAGE = 100


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
class Houses:
    """A page of the records that a recall concerns, what was treated last on top.

    `total` is of all of them, and `mark` the mark of all of them and no others.
    """

    records: list[Concerned]
    total: int
    page: int
    mark: str

    @property
    def pages(self) -> int:
        """How many pages there are."""
        return pages_of(self.total)


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
    """A recall, a page of the records it concerns, and a page of its letters.

    `unmailed` counts the houses without a holder who could be written to; `states` the letters by state.
    """

    id: str
    number: str
    asked: RecallAsked
    found: str
    to_do: str
    made_by: str
    made_on: date
    houses: Houses
    unmailed: int
    letters: list[LetterRow]
    letters_page: int
    states: dict[str, int]

    @property
    def prepared(self) -> int:
        """How many letters wait for a person."""
        return self.states.get("prepared", 0)

    @property
    def letters_pages(self) -> int:
        """How many pages of letters there are."""
        return pages_of(sum(self.states.values()))


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


def pages_of(count: int) -> int:
    """How many pages so many lines fill; a page there always is."""
    return max(1, -(-count // PAGE))


def look(parts: Parts, who: Actor, asked: RecallAsked, page: int = 1) -> Houses:
    """Every record that it concerns, in one step, shown page by page. Nothing is made or told by looking."""
    must_be(who, "office")
    _check(asked)
    with parts.store.reading() as work:
        return _page(parts, work, *_concerned(work, asked), page)


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


def _concerned(work: Work, asked: RecallAsked) -> tuple[list[str], set[str]]:
    """The ids of all that it concerns, what was treated last on top; and of those amended in what counts."""
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
    return registered.ids(work, filters), amended


def _page(parts: Parts, work: Work, ids: list[str], amended: set[str], page: int) -> Houses:
    page = min(max(page, 1), pages_of(len(ids)))
    shown = ids[(page - 1) * PAGE : page * PAGE]
    held = holders.holders_now(work, shown)
    records = []
    for row in _rows(parts, work, shown):
        holder = held.get(row.id)
        mailed = bool(holder and holder.email)
        records.append(Concerned(row, holder.name if holder else "", mailed, row.id in amended))
    return Houses(records, len(ids), page, _mark(ids))


def _rows(parts: Parts, work: Work, ids: list[str]) -> list[RegisterRow]:
    return [
        row for some in recalls.in_parts(ids)
        for row in registered.every_row(work, RegisterFilter(warranty_ids=tuple(some)), parts.today())
    ]  # fmt: skip


def _mark(ids: list[str]) -> str:
    """A mark of these records and no others."""
    return hashlib.sha256(" ".join(sorted(ids)).encode()).hexdigest()


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
        ids, _amended = _concerned(work, asked)
        if not ids:
            raise refuse("No record names it: there is nobody to write to.")
        if _mark(ids) != seen:
            raise refuse("These are not the houses that were listed before. Look at them, then press again.")
        row = recalls.add_recall(
            work, ids, number=owed.next_number(work, "RC", parts.today().year),
            kind=asked.kind, value=asked.value.strip(), value_key=code_key(asked.value), since=asked.since,
            until=asked.until, found=found.strip(), to_do=to_do.strip(), made_by=who.name,
        )  # fmt: skip
        rows = _rows(parts, work, ids)
        prepare(parts, work, row, rows)
        for one in rows:
            note(work, who, "recall", f"{row.number}, {one.number}", one.lot_id)
        return {"recall": row.id}

    said = [asked.kind, asked.value, asked.since, asked.until, found, to_do]
    return str(once(parts, who, "recall", once_key, do, said)["recall"])


def recall(
    parts: Parts, who: Actor, recall_id: str, houses_page: int = 1, letters_page: int = 1
) -> RecallView:
    """A recall, and a page of each of its lists. Raises `NotFound`."""
    must_be(who, "office")
    with parts.store.reading() as work:
        row = recalls.recall(work, recall_id)
        amended = {warranty_id for warranty_id, _said in recalls.amended(work)}
        states = recalls.letter_states(work, row.id)
        ids = registered.ids(work, [RegisterFilter(recall_id=row.id)])
        at = min(max(letters_page, 1), pages_of(sum(states.values())))
        letters = [letter_row(one) for one in recalls.letters_from(work, row.id, (at - 1) * PAGE, PAGE)]
        return RecallView(
            row.id, row.number, RecallAsked(row.kind, row.value, row.since, row.until), row.found, row.to_do,
            row.made_by, row.made_at.astimezone(parts.zone).date(),
            _page(parts, work, ids, amended, houses_page), recalls.unmailed(work, row.id),
            letters, at, states,
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
