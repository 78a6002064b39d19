"""Photos of walls and problems: made clean, kept under their fingerprint, shown to whom they are for."""

from __future__ import annotations

import hashlib
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from portal.acts.entering import own_job
from portal.acts.lot_state import lot_for
from portal.acts.parts import Actor, Parts
from portal.core.documents import FieldSheet, TreatmentPhoto, from_stored
from portal.core.errors import BadInput, NotFound, Problem, Refused, refuse
from portal.core.treatment.entries import LONGEST_WORDS, UUID4, WORDS
from portal.core.words import say
from portal.pictures import Picture, read_picture
from portal.store import field, jobs
from portal.store.transaction import Work, is_doubled

#: Photos of one stop at most: what is more than this is a mistake of the phone.
MOST_PHOTOS = 60


@dataclass(frozen=True, slots=True)
class Shot:
    """A photo as it comes: `wall` is the key of the stretch, or nothing where it shows a problem."""

    id: str
    wall: str
    words: str
    at: datetime | None
    content: bytes
    device_id: str = ""


@dataclass(frozen=True, slots=True)
class PhotoView:
    """A photo as pages show it. Its label is empty where it shows a problem; `late`: not in the record."""

    id: str
    wall: str
    label: str
    story: str
    words: str
    by: str
    taken_at: datetime
    late: bool = False


def add_photo(parts: Parts, who: Actor, job_id: str, shot: Shot) -> str:
    """Keep a photo; the same id twice is once. Answers its fingerprint."""
    at = f"photo.{shot.wall}" if shot.wall else "photo"
    if shot.id and not UUID4.fullmatch(shot.id):
        raise refuse("This photo was not sent whole. Take it once more.")
    if len(shot.words) > LONGEST_WORDS:
        raise BadInput([Problem(at, say("At most {limit} characters, please.", limit=LONGEST_WORDS))])
    picture = read_picture(shot.content, at)
    sent = hashlib.sha256(shot.content).hexdigest()
    try:
        with parts.store.writing() as work:
            job = own_job(work, who, job_id)
            known = field.find_photo(work, shot.id) if shot.id else None
            if known is not None:
                return _same(known, job, sent)
            _check(work, job, shot.wall)
            return _add(parts, work, who, job, shot, picture, sent)
    except Exception as error:
        if not is_doubled(error):
            raise
    # The same photo, sent twice at once: the other one was first.
    raise refuse("This photo is being sent already.")


def _same(known: Any, job: Any, sent: str) -> str:
    if (known.job_id, known.sent_sha256) != (job.id, sent):
        raise refuse("Something else was sent under this photo's id.")
    return str(known.sha256)


def _check(work: Work, job: Any, wall: str) -> None:
    if wall and wall not in {one.key for one in _sheet(job).walls}:
        raise Refused(say("This house has no such wall."))
    if len(field.photos(work, job.id)) >= MOST_PHOTOS:
        raise refuse("There are {n} photos of this stop already, which is the most.", n=MOST_PHOTOS)


def _add(parts: Parts, work: Work, who: Actor, job: Any, shot: Shot, picture: Picture, sent: str) -> str:
    assert who.person_id
    sha256 = parts.blobs.put(picture.whole)
    field.add_photo(
        work, photo_id=shot.id or work.new_id(), job_id=job.id, person_id=who.person_id, by=who.name,
        device_id=shot.device_id, wall=shot.wall, words=shot.words, sha256=sha256,
        small_sha256=parts.blobs.put(picture.small), sent_sha256=sent, size=(picture.width, picture.height),
        device_at=shot.at or work.now, late=job.state in ("treated", "signed off"),
    )  # fmt: skip
    return sha256


def _sheet(job: Any) -> FieldSheet:
    return from_stored(FieldSheet, job.sheet)


def photographed(work: Work, job: Any) -> frozenset[str]:
    """The stretches that there is a photo of."""
    return frozenset(photo.wall for photo in field.photos(work, job.id) if photo.wall and not photo.late)


def photos_of(work: Work, job: Any) -> tuple[PhotoView, ...]:
    """The photos of a job that was booked, by wall in the order of the walls, problems last."""
    walls = {wall.key: wall for wall in _sheet(job).walls} if job.sheet else {}
    views = []
    for row in field.photos(work, job.id):
        wall = walls.get(row.wall)
        label, story = (wall.label, wall.story) if wall else ("", "")
        words = job.entry.get(WORDS + row.id) or row.words
        views.append(PhotoView(row.id, row.wall, label, story, words, row.by, row.device_at, row.late))
    place = {key: n for n, key in enumerate(walls)}
    return tuple(sorted(views, key=lambda view: (place.get(view.wall, len(place)), view.taken_at)))


def for_record(work: Work, job: Any) -> tuple[TreatmentPhoto, ...]:
    """The photos as the treatment record holds them."""
    found = {row.id: row for row in field.photos(work, job.id) if not row.late}
    return tuple(
        TreatmentPhoto(
            found[v.id].sha256,
            v.wall,
            v.label,
            v.story,
            v.words,
            v.taken_at,
            (found[v.id].width, found[v.id].height),
        )
        for v in photos_of(work, job)
        if v.id in found
    )


def stop_photo(parts: Parts, who: Actor, job_id: str, photo_id: str, small: bool) -> bytes:
    """A photo of a technician's own stop, as JPEG."""
    if who.kind != "technician":
        raise NotFound("job", job_id)
    with parts.store.reading() as work:
        row = field.photo(work, photo_id, jobs.job(work, job_id, technician_id=who.person_id).id)
        return parts.blobs.get(row.small_sha256 if small else row.sha256)


def lot_photo(parts: Parts, who: Actor, lot_id: str, photo_id: str, small: bool) -> bytes:
    """A photo of a lot: the office's at any time, its builder's once it is treated."""
    with parts.store.reading() as work:
        lot = lot_for(work, who, lot_id)
        job = jobs.job_of(work, lot.id)
        if job is None or (who.kind == "builder" and job.state not in ("treated", "signed off")):
            raise NotFound("photo", photo_id)
        row = field.photo(work, photo_id, job.id)
        return parts.blobs.get(row.small_sha256 if small else row.sha256)


def shown_to(who: Actor, photos: Iterable[PhotoView], treated: bool) -> tuple[PhotoView, ...]:
    """The photos that this person may see."""
    return tuple(photos) if treated or who.kind == "office" else ()
