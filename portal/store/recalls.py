"""Finds and adds recalls: the warranties that each concerns, and its letters."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from typing import Any

from sqlalchemy import Select, func, select

from portal.core.errors import NotFound
from portal.store.tables import (
    Holder,
    Recall,
    RecallLetter,
    RecallRecord,
    RecordPage,
    TreatmentRecord,
    Warranty,
)
from portal.store.transaction import Work

AT_ONCE = 500
#: What a further page can be about that changes what a recall goes by.
TELLING = ("product", "applicator")


def add_recall(work: Work, warranty_ids: Iterable[str], **values: Any) -> Recall:
    """A new recall, and the warranties that it concerns."""
    row = Recall(id=work.new_id(), made_at=work.now, **values)
    work.add(row)
    for warranty_id in warranty_ids:
        work.put(RecallRecord(recall_id=row.id, warranty_id=warranty_id))
    return row


def recall(work: Work, recall_id: str) -> Recall:
    """The recall. Raises `NotFound`."""
    found = work.session.get(Recall, recall_id)
    if found is None:
        raise NotFound("recall", recall_id)
    return found


def recalls(work: Work) -> list[tuple[Recall, int, dict[str, int]]]:
    """All recalls, newest first: each with how many warranties it concerns, and its letters by state."""
    concerned = dict(_counts(work, RecallRecord.recall_id))
    letters: dict[str, dict[str, int]] = {}
    for recall_id, state, count in _counts(work, RecallLetter.recall_id, RecallLetter.state):
        letters.setdefault(recall_id, {})[state] = count
    rows = work.session.scalars(select(Recall).order_by(Recall.made_at.desc(), Recall.id))
    return [(row, concerned.get(row.id, 0), letters.get(row.id, {})) for row in rows]


def _counts(work: Work, *columns: Any) -> list[Any]:
    return list(work.session.execute(select(*columns, func.count()).group_by(*columns)))


def concerned(work: Work, recall_id: str) -> list[str]:
    """The warranties that a recall concerns."""
    query = select(RecallRecord.warranty_id).where(RecallRecord.recall_id == recall_id)
    return list(work.session.scalars(query))


def add_letter(work: Work, recall_id: str, **values: Any) -> RecallLetter:
    """A letter, prepared."""
    row = RecallLetter(id=work.new_id(), recall_id=recall_id, state="prepared", decided_by="", **values)
    work.put(row)
    return row


def _letters(recall_id: str) -> Select[RecallLetter]:
    return (
        select(RecallLetter).where(RecallLetter.recall_id == recall_id)
        .order_by(RecallLetter.company_id.is_(None), RecallLetter.name, RecallLetter.id)
    )  # fmt: skip


def letters(work: Work, recall_id: str, *, held: bool = False) -> list[RecallLetter]:
    """A recall's letters: builders' first, then holders', by name. `held` against other writers."""
    query = _letters(recall_id)
    return list(work.session.scalars(query.with_for_update() if held else query))


def letters_from(work: Work, recall_id: str, first: int, count: int) -> list[RecallLetter]:
    """Some of a recall's letters, in the same order."""
    return list(work.session.scalars(_letters(recall_id).offset(first).limit(count)))


def letter_states(work: Work, recall_id: str) -> dict[str, int]:
    """How many letters of a recall there are in each state."""
    query = select(RecallLetter.state, func.count()).where(RecallLetter.recall_id == recall_id)
    return {row[0]: row[1] for row in work.session.execute(query.group_by(RecallLetter.state))}


def unmailed(work: Work, recall_id: str) -> int:
    """How many houses of a recall have no holder, or none with an address for mail."""
    mailed = (
        select(Holder.id)
        .where(Holder.warranty_id == RecallRecord.warranty_id, Holder.until.is_(None), Holder.email != "")
        .exists()
    )
    query = select(func.count()).select_from(RecallRecord)
    return work.session.scalar(query.where(RecallRecord.recall_id == recall_id, ~mailed)) or 0


def letter(work: Work, recall_id: str, letter_id: str, *, held: bool = False) -> RecallLetter:
    """One letter of a recall. Raises `NotFound`."""
    query = select(RecallLetter).where(RecallLetter.id == letter_id, RecallLetter.recall_id == recall_id)
    found = work.session.scalar(query.with_for_update() if held else query)
    if found is None:
        raise NotFound("letter", letter_id)
    return found


def amended(work: Work) -> Iterator[tuple[str, dict[str, Any]]]:
    """Warranties whose record was amended in what a recall goes by, with the page that amended it."""
    query = (
        select(Warranty.id, RecordPage.document)
        .join(TreatmentRecord, TreatmentRecord.id == RecordPage.record_id)
        .join(Warranty, Warranty.record_id == TreatmentRecord.id)
        .where(RecordPage.kind == "amended")
    )
    for warranty_id, page in work.session.execute(query.execution_options(yield_per=AT_ONCE)):
        if page.get("subject") in TELLING:  # the page of a record that was let go is empty
            yield warranty_id, page


def in_parts(ids: Sequence[str]) -> Iterator[Sequence[str]]:
    """Ids as many at a time as both databases take in one question without a second thought."""
    for begin in range(0, len(ids), AT_ONCE):
        yield ids[begin : begin + AT_ONCE]


def link_tokens(work: Work, ids: Sequence[str]) -> dict[str, str]:
    """The token of the record's link, by warranty."""
    query = select(Warranty.id, Warranty.link_token)
    return {
        warranty_id: token
        for some in in_parts(ids)
        for warranty_id, token in work.session.execute(query.where(Warranty.id.in_(some)))
    }
