"""What a phone sends by script: entries in batches, and what it is told. JSON in and out."""

from __future__ import annotations

import json
from datetime import datetime
from typing import Annotated, Any

import msgspec
from flask import request
from flask_wtf.csrf import generate_csrf

from portal.acts import entering, treating
from portal.acts.entering import Batch, Sent, Taken
from portal.acts.treating import Stop
from portal.core.errors import BadInput, Refused
from portal.core.treatment.entries import UUID4, Merged
from portal.web.security import parts, who
from portal.web.shared.pages import told

Answer = tuple[dict[str, Any], int]
Moment = Annotated[datetime, msgspec.Meta(tz=True)]
#: What a phone's clock says when its battery was flat, and what no clock says.
YEARS = range(1970, 2200)


class EntrySent(msgspec.Struct):
    """An entry in a batch."""

    id: str
    seq: Annotated[int, msgspec.Meta(ge=0, le=2_000_000_000)]
    field: str
    value: str
    knows: list[str]
    at: Moment


class BatchSent(msgspec.Struct):
    """A batch. `mark`: the once-key of a press on *Mark it treated*, once everything else was sent."""

    device: str
    sent_at: Moment
    entries: list[EntrySent]
    mark: str = ""


def read_moment(text: str) -> datetime | None:
    """A moment as a device writes it, ISO 8601 with its zone; None where it cannot be one."""
    try:
        at = msgspec.convert(text, Moment)
    except msgspec.ValidationError:
        return None
    return at if at.year in YEARS else None


def signal() -> dict[str, Any]:
    """Answers whoever is signed in: who that is, and a token to send forms with."""
    return {"person": who().person_id, "csrf": generate_csrf(), "now": parts().now().isoformat()}


def entries(job_id: str) -> Answer:
    """Take a batch, each entry once; then mark the stop treated, where that was pressed."""
    sent = _read_batch()
    if sent is None:
        treating.stop(parts(), who(), job_id)  # whose stop it is not, is told nothing but that
        return {"says": ""}, 400
    batch = Batch(sent.device, sent.sent_at, [
        Sent(one.id, one.seq, one.field, one.value.strip(), tuple(one.knows), one.at) for one in sent.entries
    ])  # fmt: skip
    taken = entering.take(parts(), who(), job_id, batch)
    answer = _answer(taken)
    if sent.mark and not taken.refused:
        answer |= _mark(job_id, sent.mark)
    return answer, 200


def _read_batch() -> BatchSent | None:
    """The batch; None where it is none that a phone of ours sends."""
    try:
        sent = msgspec.json.decode(request.get_data(), type=BatchSent)
    except msgspec.DecodeError:
        return None
    moments = [sent.sent_at, *(one.at for one in sent.entries)]
    whole = UUID4.fullmatch(sent.device) and len(sent.mark) <= 36
    return sent if whole and all(at.year in YEARS for at in moments) else None


def _mark(job_id: str, once_key: str) -> dict[str, Any]:
    try:
        treating.mark_kept(parts(), who(), job_id, once_key)
    except BadInput as bad:
        return {"missing": [{"at": p.at, "says": told(p.says)} for p in bad.problems]}
    except Refused as refused:
        return {"not_marked": told(refused.says)}
    return {"state": "treated"}


def _answer(taken: Taken) -> dict[str, Any]:
    refused = [{"id": one, "says": told(says)} for one, says in taken.refused]
    return {
        "taken": taken.taken, "late": taken.late, "refused": refused, "state": taken.state,
        "offset_seconds": taken.offset_seconds, **_merged(taken.merged, taken.number),
    }  # fmt: skip


def _merged(merged: Merged, number: int) -> dict[str, Any]:
    conflicts = {at: [head.value for head in heads] for at, heads in merged.conflicts.items()}
    return {"number": number, "values": merged.values, "heads": merged.heads, "conflicts": conflicts}


def as_known(stop: Stop) -> str:
    """What the house knows of a stop's entry, as the page's script reads it."""
    assert stop.merged is not None
    return json.dumps(_merged(stop.merged, stop.seen) | {"photos": [p.id for p in stop.photos]})
