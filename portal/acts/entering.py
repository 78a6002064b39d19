"""What is entered on a stop, by phone or form: taken once each, in one transaction, and merged.

The entries are the truth; `job.entry` is what they come to, kept beside the job for all who read it.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import datetime, timedelta
from typing import Any

from portal.acts.lot_state import lot_name, restage
from portal.acts.parts import Actor, Parts, must_be
from portal.acts.trail import mail_office, note
from portal.core.documents import FieldSheet, from_stored
from portal.core.errors import refuse
from portal.core.journey import JOB, move
from portal.core.treatment import entries as rules
from portal.core.treatment.coats import too_early
from portal.core.treatment.entries import LONGEST, NAMES, UUID4, Entry, Merged, merge
from portal.core.words import Said, say
from portal.store import field, jobs, lots
from portal.store.transaction import Work

#: Entries that are taken at once: a whole house on a phone is a few hundred.
MOST_AT_ONCE = 500
MOST_KNOWN = 20
#: Seconds that a clock is taken to be off at most: more is told as this much.
MOST_OFF = 2_000_000_000


@dataclass(frozen=True, slots=True)
class Sent:
    """An entry as a device sends it."""

    id: str
    seq: int
    field: str
    value: str
    knows: tuple[str, ...]
    at: datetime


@dataclass(frozen=True, slots=True)
class Batch:
    """Entries of one device, in their order. `sent_at` is what its own clock said."""

    device_id: str
    sent_at: datetime
    entries: Sequence[Sent]


@dataclass(frozen=True, slots=True)
class Taken:
    """What came of a batch, and what the stop's entry is now. `number` is that of its newest entry."""

    taken: tuple[str, ...]
    late: tuple[str, ...]
    refused: tuple[tuple[str, Said], ...]
    merged: Merged
    number: int
    offset_seconds: int
    state: str


def own_job(work: Work, who: Actor, job_id: str) -> Any:
    """A technician's own stop, held against other writers."""
    must_be(who, "technician")
    # The lot first: whose stop it is, is asked once nobody can give it to somebody else any more.
    lot = lots.locked_of_job(work, job_id)
    job = jobs.job(work, job_id, technician_id=who.person_id)
    assert job.lot is lot
    return job


def as_merged(work: Work, job: Any) -> Merged:
    """What the entries of a job come to, with what was entered before there were any laid under them."""
    merged = merge(field.entries(work, job.id))
    return replace(merged, values=_base(job, merged) | merged.values)


def _base(job: Any, merged: Merged) -> dict[str, str]:
    return {at: value for at, value in job.entry.items() if at not in merged.heads}


def _keep_merged(work: Work, job: Any) -> None:
    work.session.flush()
    job.entry = {at: value for at, value in as_merged(work, job).values.items() if value}


def take(parts: Parts, who: Actor, job_id: str, batch: Batch) -> Taken:
    """Take a device's entries: each once, however often it is sent. What cannot be is refused one by one."""
    if len(batch.entries) > MOST_AT_ONCE:
        raise refuse("At most {n} entries at once.", n=MOST_AT_ONCE)
    with parts.store.writing() as work:
        job = own_job(work, who, job_id)
        taking = _Taking(parts, work, who, job, batch)
        for sent in batch.entries:
            taking.one(sent)
        taking.settle()
        return taking.answer()


class _Taking:
    """A batch as far as it has been taken."""

    def __init__(self, parts: Parts, work: Work, who: Actor, job: Any, batch: Batch) -> None:
        self.parts, self.work, self.who, self.job, self.batch = parts, work, who, job, batch
        offset = round((batch.sent_at - work.now).total_seconds())
        self.offset = max(-MOST_OFF, min(MOST_OFF, offset))
        self.known = field.known(work, [sent.id for sent in batch.entries])
        self.number = field.last_number(work, job.id)
        self.standing = field.entries(work, job.id)
        self.before = merge(self.standing).conflicts.keys()
        self.done = job.state in ("treated", "signed off")
        self.taken: list[str] = []
        self.late: list[str] = []
        self.refused: list[tuple[str, Said]] = []
        self.seen_through: dict[str, tuple[str, ...]] = {}

    def one(self, sent: Sent) -> None:
        """Take one entry, or say why not."""
        if sent.id in self.known:
            self._again(sent)
            return
        # What was refused never was: an entry that replaced it replaces what it would have replaced.
        knows = tuple(dict.fromkeys(k for one in sent.knows for k in self.seen_through.get(one, (one,))))
        entry = Entry(
            sent.id, sent.field, sent.value, knows, sent.at, self.who.name, self.number + 1, self.offset
        )
        why = self._why_not(entry)
        if why is not None:
            self.refused.append((sent.id, why))
            self.seen_through[sent.id] = knows
            return
        self.number += 1
        assert self.who.person_id
        self.known[sent.id] = field.add(
            self.work, entry, job_id=self.job.id, person_id=self.who.person_id, source="phone",
            device_id=self.batch.device_id, device_seq=sent.seq, late=self.done,
        )  # fmt: skip
        (self.late if self.done else self.taken).append(sent.id)
        if not self.done:
            self.standing.append(entry)

    def _again(self, sent: Sent) -> None:
        row = self.known[sent.id]
        if (row.job_id, row.field, row.value) != (self.job.id, sent.field, sent.value):
            self.refused.append((sent.id, say("Something else was sent under this entry's id.")))
        else:
            (self.late if row.late else self.taken).append(sent.id)

    def _why_not(self, entry: Entry) -> Said | None:
        if not UUID4.fullmatch(entry.id) or not NAMES.fullmatch(entry.field) or "\0" in entry.value:
            return say("This is no entry that a stop has.")
        if len(entry.value) > LONGEST:
            return say("At most {limit} characters, please.", limit=LONGEST)
        if len(entry.knows) > MOST_KNOWN or any(len(one) > 36 for one in entry.knows):
            return say("This is no entry that a stop has.")
        merged = merge(self.standing)
        if rules.settles(entry, merged):
            return say("Two phones entered different things here. The office picks one of them.")
        return early(self.job, _base(self.job, merged) | merged.values, entry.field, entry.value)

    def settle(self) -> None:
        """Keep what it comes to; somebody may have arrived, and two phones may differ."""
        if self.done:
            return
        _keep_merged(self.work, self.job)
        if self.job.state == "booked" and self.job.entry.get("arrived"):
            self.job.state = move(JOB, self.job.state, "on site")
            note(self.work, self.who, "arrived", self.job.number, self.job.lot_id)
            restage(self.work, self.job.lot)
        opened = [at for at in merge(self.standing).conflicts if at not in self.before]
        if opened:
            tell_office(self.parts, self.work, self.who, self.job, opened)

    def answer(self) -> Taken:
        """What came of it."""
        merged = as_merged(self.work, self.job)
        return Taken(
            tuple(self.taken), tuple(self.late), tuple(self.refused), merged, self.number, self.offset,
            self.job.state,
        )  # fmt: skip


def tell_office(parts: Parts, work: Work, who: Actor, job: Any, fields: Iterable[str]) -> None:
    """Two phones entered different things: it stands in the history, and the office has a letter."""
    note(work, who, "entered differently", job.number, job.lot_id, fields=sorted(fields))
    link = parts.links.office_lot(job.lot_id)
    mail_office(parts, work, "differing", job.lot_id, lot=lot_name(job.lot), by=who.name, link=link)


def early(job: Any, values: Mapping[str, str], at: str, value: str) -> Said | None:
    """Why a second coat cannot start at this time, where it cannot: its first has to dry."""
    coat, _, wall = at.removesuffix(".start").partition(".")
    if coat != "second" or not at.endswith(".start"):
        return None
    dry = from_stored(FieldSheet, job.sheet).product.dry_minutes
    earliest = too_early(values, wall, value, dry)
    if not earliest:
        return None
    return say(
        "The second coat may start at {earliest}: {dry} minutes after the first ended.",
        earliest=earliest, dry=dry,
    )  # fmt: skip


def type_in(
    parts: Parts, work: Work, who: Actor, job: Any, typed: Mapping[str, str], seen: int | None = None
) -> None:
    """Keep a whole form as entries: of the fields only that say something else than where it was opened.

    `seen` is the number of the newest entry that the form was shown; without it, all there are.
    """
    assert who.person_id
    standing = field.entries(work, job.id)
    shown = merge(entry for entry in standing if seen is None or entry.number <= seen)
    number = field.last_number(work, job.id)
    before = merge(standing)
    for at, value in rules.typed_over(shown, _base(job, before), typed).items():
        number += 1
        # Of two that differ only the newest was typed over: which of them counts is for the office.
        knows = shown.heads.get(at, ())[-1 if at in shown.conflicts else 0 :]
        entry = Entry(work.new_id(), at, value, knows, work.now, who.name, number)
        field.add(work, entry, job_id=job.id, person_id=who.person_id, source="form")
        standing.append(entry)
    _keep_merged(work, job)
    opened = merge(standing).conflicts.keys() - before.conflicts.keys()
    if opened:
        tell_office(parts, work, who, job, opened)


def forget_arrival(work: Work, who: Actor, job: Any) -> None:
    """What was typed of another day stays, but not that somebody has arrived."""
    replace_all(work, who, job, {at: "" for at in ("arrived", "day") if job.entry.get(at)})


def replace_all(work: Work, who: Actor, job: Any, values: Mapping[str, str]) -> None:
    """The office's word on fields: it replaces whatever was entered in them."""
    assert who.person_id
    merged, number = merge(field.entries(work, job.id)), field.last_number(work, job.id)
    for at, value in values.items():
        number += 1
        entry = Entry(work.new_id(), at, value, merged.heads.get(at, ()), work.now, who.name, number)
        field.add(work, entry, job_id=job.id, person_id=who.person_id, source="office")
    if values:
        _keep_merged(work, job)


def pick(parts: Parts, who: Actor, lot_id: str, at: str, entry_id: str) -> None:
    """The office picks one of the things that two phones entered differently."""
    must_be(who, "office")
    with parts.store.writing() as work:
        lot = lots.locked(work, lot_id)
        job = jobs.job_of(work, lot.id)
        heads = merge(field.entries(work, job.id)).conflicts.get(at, ()) if job else ()
        picked = [head for head in heads if head.id == entry_id]
        if job is None or not picked or job.state not in ("booked", "on site"):
            raise refuse("There is nothing to pick here any more.")
        replace_all(work, who, job, {at: picked[0].value})
        note(work, who, "picked", job.number, lot.id, field=at, value=picked[0].value)
        restage(work, lot)


def clock_ahead(entries: Iterable[Entry]) -> timedelta:
    """By how much the furthest phone's clock was ahead: its times are judged by its own clock."""
    return timedelta(seconds=max([0, *(entry.offset_seconds for entry in entries)]))
