"""History, outbox, papers, once-keys and tries: what every act leaves behind or looks up."""

from __future__ import annotations

from collections.abc import Collection
from contextlib import closing
from datetime import datetime
from typing import Any

from sqlalchemy import bindparam, delete, func, select

from portal.core.documents import fingerprint
from portal.core.errors import NotFound
from portal.store.tables import History, HistoryHead, Letter, OnceKey, Paper, Try
from portal.store.transaction import Work

FIRST = "0" * 64


def link(line: dict[str, Any]) -> str:
    """The hash of a history line over its canonical JSON, the hash before it included."""
    return fingerprint(line)


def as_linked(row: History) -> dict[str, Any]:
    """The fields of a history line that its hash covers."""
    return {
        "seq": row.seq, "at": row.at.isoformat(), "person_id": row.person_id, "by": row.by, "verb": row.verb,
        "lot_id": row.lot_id, "subject": row.subject, "details": row.details, "before": row.before,
    }  # fmt: skip


def add_history(
    work: Work, *, by: str, person_id: str | None, verb: str, subject: str, lot_id: str | None = None,
    details: dict[str, Any] | None = None,
) -> None:  # fmt: skip
    """Append a line. The chain's head is held until the transaction ends, so the chain never forks."""
    head = _head(work)
    row = History(
        seq=head.seq + 1, at=work.now, person_id=person_id, by=by, verb=verb, lot_id=lot_id, subject=subject,
        details=details or {}, before=head.hash, hash="",
    )  # fmt: skip
    row.hash = link(as_linked(row))
    head.seq, head.hash = row.seq, row.hash
    work.put(row)


def hold_head(work: Work) -> None:
    """Hold the chain's head now: whoever will number a paper of money holds it first, all in one order."""
    _head(work)


_HEAD = (
    select(HistoryHead).where(HistoryHead.id == 1).with_for_update().execution_options(populate_existing=True)
)


def _head(work: Work) -> HistoryHead:
    # The migration has made the row. Held once it stays held, so an act's second line asks no more.
    held = work.session.info.get(HistoryHead)
    if held is None:
        held = work.session.scalars(_HEAD).one()
        work.session.info[HistoryHead] = held
    assert isinstance(held, HistoryHead)
    return held


def history_of(work: Work, lot_id: str, limit: int = 200) -> list[History]:
    """A lot's history, newest first."""
    query = select(History).where(History.lot_id == lot_id).order_by(History.seq.desc()).limit(limit)
    return list(work.session.scalars(query))


def told_of(work: Work, lot_id: str, verbs: Collection[str]) -> list[History]:
    """The lines of a lot's history with these verbs, oldest first."""
    query = select(History).where(History.lot_id == lot_id, History.verb.in_(verbs)).order_by(History.seq)
    return list(work.session.scalars(query))


def broken_link(work: Work) -> int | None:
    """The number of the first line that does not fit, or None: every hash is computed again.

    Lines cut off at the end are noticed by the chain's head, which names the last one.
    """
    before, expected = FIRST, 1
    rows = work.session.scalars(select(History).order_by(History.seq).execution_options(yield_per=1000))
    with closing(rows):
        for row in rows:
            if row.seq != expected or row.before != before or row.hash != link(as_linked(row)):
                return expected
            before, expected = row.hash, expected + 1
    head = work.session.get(HistoryHead, 1)
    if head is None or (head.seq, head.hash) != (expected - 1, before):
        return expected
    return None


def add_letter(
    work: Work,
    *,
    to: str,
    subject: str,
    text: str,
    html: str,
    domain: str,
    lot_id: str | None,
    unsubscribe: str = "",
) -> Letter:
    """Put a mail in the outbox: it leaves after this transaction is committed, or never was."""
    letter_id = work.new_id()
    row = Letter(
        id=letter_id, message_id=f"<{letter_id}@{domain}>", to=to, subject=subject, text=text, html=html,
        lot_id=lot_id, written_at=work.now, next_try_at=work.now, tries=0, trouble="",
        unsubscribe=unsubscribe,
    )  # fmt: skip
    work.put(row)
    return row


def letters_due(work: Work, limit: int = 10) -> list[Letter]:
    """Mails to be tried now, held against other workers; those another worker holds are passed over."""
    query = (
        select(Letter).where(Letter.sent_at.is_(None), Letter.next_try_at <= work.now)
        .order_by(Letter.next_try_at, Letter.id).limit(limit).with_for_update(skip_locked=True)
    )  # fmt: skip
    return list(work.session.scalars(query))


def letters(work: Work, limit: int = 200) -> list[Letter]:
    """The newest mails of the outbox, sent or not."""
    return list(
        work.session.scalars(select(Letter).order_by(Letter.written_at.desc(), Letter.id).limit(limit))
    )


def letter_if_kept(work: Work, letter_id: str) -> Letter | None:
    """One mail, or None where it was withdrawn."""
    return work.session.get(Letter, letter_id)


def letter(work: Work, letter_id: str) -> Letter:
    """One mail. Raises `NotFound`."""
    found = letter_if_kept(work, letter_id)
    if found is None:
        raise NotFound("letter", letter_id)
    return found


def withdraw_letters(work: Work, to: str) -> None:
    """Drop what has not left yet to somebody who is no longer here."""
    work.session.execute(delete(Letter).where(Letter.to == to, Letter.sent_at.is_(None)))


def paper(work: Work, kind: str, subject_id: str) -> Paper | None:
    """The paper already made of this subject."""
    return work.session.scalar(select(Paper).where(Paper.kind == kind, Paper.subject_id == subject_id))


_KEPT: Any = select(Paper.sha256).where(
    Paper.kind == bindparam("kind"), Paper.subject_id == bindparam("subject_id")
)


def kept_paper(work: Work, kind: str, subject_id: str) -> str | None:
    """The SHA-256 of the paper already made of this subject."""
    asked = {"kind": kind, "subject_id": subject_id}
    found: str | None = work.session.connection().execute(_KEPT, asked).scalar_one_or_none()
    return found


def keep_paper(work: Work, kind: str, subject_id: str, sha256: str) -> Paper:
    """Note a paper that was made, or made again because its bytes were lost."""
    row = paper(work, kind, subject_id)
    if row is None:
        row = Paper(id=work.new_id(), kind=kind, subject_id=subject_id, sha256=sha256, made_at=work.now)
        work.add(row)
    row.sha256 = sha256
    return row


def once_key(work: Work, key: str) -> OnceKey | None:
    """A once-key that was used."""
    return work.session.get(OnceKey, key)


def add_once_key(work: Work, key: str, content: str) -> OnceKey:
    """Use a once-key. On PostgreSQL a second user waits here for the first, then fails on the key."""
    row = OnceKey(key=key, content=content, answer={}, used_at=work.now)
    work.add(row)
    return row


def add_try(work: Work, door: str, subject: str) -> str:
    """Count a wrong try; answers its id."""
    row = Try(id=work.new_id(), door=door, subject=subject, at=work.now)
    work.add(row)
    return row.id


def drop_try(work: Work, try_id: str) -> None:
    """Take one try back: it was right."""
    work.session.execute(delete(Try).where(Try.id == try_id))


def tries_since(work: Work, door: str, subject: str, since: datetime) -> tuple[int, datetime | None]:
    """How many wrong tries since then, and the newest."""
    query = select(func.count(), func.max(Try.at)).where(
        Try.door == door, Try.subject == subject, Try.at > since
    )
    count, newest = work.session.execute(query).one()
    return count, newest


def forget_tries(work: Work, door: str, subject: str) -> None:
    """Start the count again, after a right one."""
    work.session.execute(delete(Try).where(Try.door == door, Try.subject == subject))


def forget_before(work: Work, moment: datetime) -> None:
    """Drop tries and once-keys that can no longer matter."""
    work.session.execute(delete(Try).where(Try.at < moment))
    work.session.execute(delete(OnceKey).where(OnceKey.used_at < moment))
