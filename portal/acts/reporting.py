"""Trouble at a treated house, as whoever lives there reports it: words, photos, and how to be reached."""

from __future__ import annotations

import hashlib
from dataclasses import astuple, dataclass
from datetime import timedelta
from typing import Any

from portal.acts.covering import warranty_document
from portal.acts.editions import answer_days, days_off, in_force
from portal.acts.parts import NOBODY, Actor, Parts
from portal.acts.slowing import Door
from portal.acts.texts import check, email_problems, text_problems
from portal.acts.trail import mail, mail_office, note, once
from portal.core.cover.trouble import answer_due
from portal.core.errors import BadInput, NotFound, Problem
from portal.core.words import say
from portal.pictures import Picture, read_picture
from portal.store import owed, troubles, warranties
from portal.store.transaction import Work

#: Every report counts, a right one too: it writes letters to whatever address it names.
REPORTS = Door("trouble", free=3, window=timedelta(days=1), first_wait=timedelta(minutes=15))
#: Common practice, no source: what shows a place from near and far, several times over.
MOST_PHOTOS = 6
LONGEST = 4000


@dataclass(frozen=True, slots=True)
class TroubleTyped:
    """What somebody reports."""

    words: str
    name: str
    email: str
    phone: str


@dataclass(frozen=True, slots=True)
class Reported:
    """What whoever reported is told: its number, and by when somebody answers."""

    number: str
    due_on: str


def report(
    parts: Parts, token: str, typed: TroubleTyped, files: tuple[bytes, ...], address: str, once_key: str
) -> Reported:
    """Report trouble, by the record's link; the form sent twice is one report. Raises `NotFound`."""
    pictures = _read(typed, files)
    with parts.store.reading() as work:
        warranty = warranties.by_link(work, token)
    if warranty is None:
        raise NotFound("warranty")
    who = Actor(None, typed.name.strip(), typed.email.strip(), "system")

    def do(work: Work) -> dict[str, Any]:
        subjects = f"from {address}", f"of {warranty.id}"
        REPORTS.check(work, *subjects)
        REPORTS.add(work, *subjects)
        return _keep(parts, work, who, warranty.id, typed, pictures)

    said = [*astuple(typed), *(hashlib.sha256(one).hexdigest() for one in files)]
    return Reported(**once(parts, who, f"trouble {warranty.id}", once_key, do, said))


def _read(typed: TroubleTyped, files: tuple[bytes, ...]) -> list[Picture]:
    problems: list[Problem] = [
        *text_problems("words", typed.words, LONGEST, say("Write what you see, and where.")),
        *text_problems("name", typed.name, 200, say("Enter your name.")),
        *(email_problems(typed.email.strip()) if typed.email.strip()
          else [Problem("email", say("Enter a mail address: the answer goes there."))]),
        *text_problems("phone", typed.phone, 40),
    ]  # fmt: skip
    return photos_read(files, problems)


def photos_read(files: tuple[bytes, ...], problems: list[Problem]) -> list[Picture]:
    """The pictures, made clean. Raises `BadInput` with what is wrong with them and with all else."""
    if len(files) > MOST_PHOTOS:
        problems.append(Problem("photos", say("At most {n} photos, please.", n=MOST_PHOTOS)))
    pictures = []
    for content in files[:MOST_PHOTOS]:
        try:
            pictures.append(read_picture(content, "photos"))
        except BadInput as bad:
            problems += bad.problems
    check(problems)
    return pictures


def keep_photos(parts: Parts, work: Work, step: Any, pictures: list[Picture]) -> None:
    """Keep the pictures of a step."""
    for picture in pictures:
        troubles.add_photo(work, step, parts.blobs.put(picture.whole), parts.blobs.put(picture.small))


def _keep(
    parts: Parts, work: Work, who: Actor, warranty_id: str, typed: TroubleTyped, pictures: list[Picture]
) -> dict[str, Any]:
    warranty, today = warranties.warranty(work, warranty_id), parts.today()
    firm = in_force(work, today).firm.document
    row = troubles.add(
        work, number=owed.next_number(work, "TB", today.year), warranty_id=warranty.id,
        lot_id=warranty.lot_id, name=typed.name.strip(), email=typed.email.strip(), phone=typed.phone.strip(),
        reported_on=today, due_on=answer_due(today, answer_days(firm), frozenset(days_off(firm))),
    )  # fmt: skip
    step = troubles.add_step(work, row, "reported", "", typed.words.strip())
    keep_photos(parts, work, step, pictures)
    # The history is everybody's of the office and part of the lot's: who reported stands in the report only.
    note(work, NOBODY, "trouble reported", row.number, warranty.lot_id)
    said = warranty_document(warranty)
    about = {"number": row.number, "place": said.place, "words": typed.words.strip(), "due_on": row.due_on,
             "warranty": warranty.number}  # fmt: skip
    mail(parts, work, "trouble_reported", row.email, warranty.lot_id, name=row.name, office=said.office,
         photos=len(pictures), link=parts.links.warranty(warranty.link_token), **about)  # fmt: skip
    mail_office(parts, work, "trouble_office", warranty.lot_id, by=row.name, photos=len(pictures),
                link=parts.links.office_trouble(row.id), **about)  # fmt: skip
    return {"number": row.number, "due_on": row.due_on.isoformat()}
