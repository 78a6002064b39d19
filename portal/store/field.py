"""Finds and adds what phones in the field sent: entries and photos."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import datetime

from sqlalchemy import delete, func, select

from portal.core.errors import NotFound
from portal.core.treatment.entries import Entry
from portal.store.tables import FieldEntry, Photo, TroublePhoto
from portal.store.transaction import Work


def rows(work: Work, job_id: str) -> list[FieldEntry]:
    """Every entry of a job, in the order they came in."""
    query = select(FieldEntry).where(FieldEntry.job_id == job_id).order_by(FieldEntry.number)
    return list(work.session.scalars(query))


def as_entry(row: FieldEntry) -> Entry:
    """A row as the rules of merging read it."""
    return Entry(
        row.id, row.field, row.value, tuple(row.knows), row.device_at, row.by, row.number, row.offset_seconds
    )


def entries(work: Work, job_id: str) -> list[Entry]:
    """The entries of a job that came before it was marked treated."""
    return [as_entry(row) for row in rows(work, job_id) if not row.late]


def entries_by_job(work: Work, job_ids: Iterable[str]) -> dict[str, list[Entry]]:
    """The entries of several jobs that came before they were marked treated."""
    query = (
        select(FieldEntry)
        .where(FieldEntry.job_id.in_(list(job_ids)), ~FieldEntry.late)
        .order_by(FieldEntry.job_id, FieldEntry.number)
    )
    found: dict[str, list[Entry]] = {}
    for row in work.session.scalars(query):
        found.setdefault(row.job_id, []).append(as_entry(row))
    return found


def known(work: Work, ids: Iterable[str]) -> dict[str, FieldEntry]:
    """Those of these ids that were taken before, whatever job they are of."""
    found = work.session.scalars(select(FieldEntry).where(FieldEntry.id.in_(list(ids))))
    return {row.id: row for row in found}


def last_number(work: Work, job_id: str) -> int:
    """The number of a job's newest entry; 0 before the first."""
    return work.session.scalar(select(func.max(FieldEntry.number)).where(FieldEntry.job_id == job_id)) or 0


def add(
    work: Work, entry: Entry, *, job_id: str, person_id: str, source: str, device_id: str = "",
    device_seq: int = 0, late: bool = False,
) -> FieldEntry:  # fmt: skip
    """A new entry; its number says when it came in."""
    row = FieldEntry(
        id=entry.id, job_id=job_id, number=entry.number, person_id=person_id, by=entry.by, source=source,
        device_id=device_id, device_seq=device_seq, field=entry.field, value=entry.value,
        knows=list(entry.knows), device_at=entry.at, received_at=work.now,
        offset_seconds=entry.offset_seconds, late=late,
    )  # fmt: skip
    work.put(row)
    return row


def photos(work: Work, job_id: str) -> list[Photo]:
    """Every photo of a job, by when it was taken."""
    query = select(Photo).where(Photo.job_id == job_id).order_by(Photo.device_at, Photo.id)
    return list(work.session.scalars(query))


def photo(work: Work, photo_id: str, job_id: str) -> Photo:
    """A photo of a job. Raises `NotFound`."""
    found = work.session.get(Photo, photo_id)
    if found is None or found.job_id != job_id:
        raise NotFound("photo", photo_id)
    return found


def find_photo(work: Work, photo_id: str) -> Photo | None:
    """A photo by the id that its device gave it."""
    return work.session.get(Photo, photo_id)


def add_photo(
    work: Work, *, photo_id: str, job_id: str, person_id: str, by: str, device_id: str, wall: str, words: str,
    sha256: str, small_sha256: str, sent_sha256: str, size: tuple[int, int], device_at: datetime, late: bool,
) -> Photo:  # fmt: skip
    """A new photo."""
    row = Photo(
        id=photo_id, job_id=job_id, person_id=person_id, by=by, device_id=device_id, wall=wall, words=words,
        sha256=sha256, small_sha256=small_sha256, sent_sha256=sent_sha256, width=size[0], height=size[1],
        device_at=device_at, received_at=work.now, late=late,
    )  # fmt: skip
    work.add(row)
    return row


def blobs_of_one(work: Work, job_id: str) -> set[str]:
    """The bytes of a job's photos that no other job has as well."""
    own = {mark for row in photos(work, job_id) for mark in (row.sha256, row.small_sha256)}
    others = select(Photo.sha256, Photo.small_sha256).where(
        Photo.job_id != job_id, Photo.sha256.in_(own) | Photo.small_sha256.in_(own)
    )
    # Whoever reports trouble may send a photo that the record shows as well.
    told = select(TroublePhoto.sha256, TroublePhoto.small_sha256).where(
        TroublePhoto.sha256.in_(own) | TroublePhoto.small_sha256.in_(own)
    )
    return own - {mark for query in (others, told) for row in work.session.execute(query) for mark in row}


def forget(work: Work, job_id: str) -> None:
    """Let go of what was sent of a stop whose record is forgotten. The database refuses it for any other."""
    work.session.flush()  # the line that allows it
    for table in (FieldEntry, Photo):
        work.session.execute(delete(table).where(table.job_id == job_id))
