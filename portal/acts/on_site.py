"""What came from a lot's site: photos; for the office what two phones differ on, and clocks that were off."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from typing import Any

from portal.acts.lot_state import lot_for
from portal.acts.parts import Actor, Parts
from portal.acts.photographing import PhotoView, photos_of
from portal.core.documents import FieldSheet, from_stored
from portal.core.treatment.entries import Entry, clocks_off, merge
from portal.store import field, jobs
from portal.store.transaction import Work


@dataclass(frozen=True, slots=True)
class EntryView:
    """An entry, who sent it and when: `at` by the phone's clock. `wall` is its stretch in words."""

    id: str
    field: str
    wall: tuple[str, str] | None
    value: str
    by: str
    at: datetime


@dataclass(frozen=True, slots=True)
class Site:
    """What came from the site. Only the office has more than the photos.

    `differing`: by field, the entries of which one has to be picked. `late`: what came after it was marked.
    """

    photos: tuple[PhotoView, ...]
    differing: tuple[tuple[EntryView, ...], ...] = ()
    late: tuple[EntryView, ...] = ()
    clocks_off: tuple[int, ...] = ()


def on_site(parts: Parts, who: Actor, lot_id: str) -> Site:
    """What came from the site of a lot, as far as it is this person's to see."""
    with parts.store.reading() as work:
        job = jobs.job_of(work, lot_for(work, who, lot_id).id)
        if job is None:
            return Site(())
        if who.kind != "office":
            treated = job.state in ("treated", "signed off")
            return Site(photos_of(work, job) if treated else ())
        return _for_office(work, job)


def _for_office(work: Work, job: Any) -> Site:
    rows = field.rows(work, job.id)
    entries = [field.as_entry(row) for row in rows if not row.late]
    walls = {w.key: (w.label, w.story) for w in from_stored(FieldSheet, job.sheet).walls} if job.sheet else {}

    def view(entry: Entry) -> EntryView:
        key = entry.field.partition(".")[2].removesuffix(".start").removesuffix(".end")
        return EntryView(entry.id, entry.field, walls.get(key), entry.value, entry.by, entry.at)

    differing = merge(entries).conflicts.values() if job.state in ("booked", "on site") else ()
    return Site(
        photos_of(work, job), tuple(tuple(view(head) for head in heads) for heads in differing),
        tuple(view(field.as_entry(row)) for row in rows if row.late), clocks_off(entries),
    )  # fmt: skip
