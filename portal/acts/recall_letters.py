"""The letters of a recall: prepared frozen, sent or left out by a person's press."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from portal.acts.covering import warranty_document
from portal.acts.parts import Actor, LetterText, Parts, must_be
from portal.acts.registering import RegisterRow
from portal.acts.trail import note
from portal.core.errors import refuse
from portal.store import holders, people, recalls, trail, warranties
from portal.store.transaction import Work


def prepare(parts: Parts, work: Work, recall: Any, rows: list[RegisterRow]) -> None:
    """Prepare a letter to each builder, with all of its lots, and one to each holder who has an address."""
    of_builder: dict[str, list[RegisterRow]] = {}
    for row in rows:
        of_builder.setdefault(row.company_id, []).append(row)
    office = warranty_document(warranties.warranty(work, rows[0].id)).office
    about = {"number": recall.number, "kind": recall.kind, "value": recall.value, "found": recall.found,
             "to_do": recall.to_do, "office": office}  # fmt: skip
    for company_id, lots in of_builder.items():
        told = [(f"{row.lot}, {row.house_number} {row.street}", row.number, row.treated_on) for row in lots]
        letter = mail_prepared(parts, "builder", "recall_builder", about | {
            "name": lots[0].company, "lots": told, "link": parts.links.builder_lots(),
        })  # fmt: skip
        _keep(work, recall, letter, company_id=company_id, name=lots[0].company, email="")
    tokens = recalls.link_tokens(work, [row.id for row in rows])
    for some in recalls.in_parts([row.id for row in rows]):
        held = holders.holders_now(work, some)
        for row in (row for row in rows if row.id in held and held[row.id].email):
            _to_holder(parts, work, recall, row, held[row.id], about, tokens[row.id])


def _to_holder(
    parts: Parts, work: Work, recall: Any, row: RegisterRow, holder: Any, about: dict[str, Any], token: str
) -> None:
    letter = mail_prepared(parts, "holder", "recall_holder", about | {
        "name": holder.name, "place": f"{row.house_number} {row.street}", "warranty": row.number,
        "treated_on": row.treated_on, "link": parts.links.warranty(token),
    })  # fmt: skip
    _keep(work, recall, letter, warranty_id=row.id, holder_id=holder.id, name=holder.name, email=holder.email)


def mail_prepared(parts: Parts, _to: str, kind: str, values: Mapping[str, Any]) -> LetterText:
    """A letter written and not put in the outbox."""
    return parts.letters.write(kind, values)


def _keep(work: Work, recall: Any, letter: LetterText, **to: Any) -> None:
    recalls.add_letter(work, recall.id, subject=letter.subject, text=letter.text, html=letter.html, **to)


def send_letter(parts: Parts, who: Actor, recall_id: str, letter_id: str) -> None:
    """Send one letter, just as it was read."""
    must_be(who, "office")
    with parts.store.writing() as work:
        letter = _still_prepared(work, recall_id, letter_id)
        _send(parts, work, who, recalls.recall(work, recall_id), letter)


def send_all(parts: Parts, who: Actor, recall_id: str, seen: int) -> int:
    """Send every letter that is still prepared; answers how many. `seen`: how many the person saw."""
    must_be(who, "office")
    with parts.store.writing() as work:
        recall = recalls.recall(work, recall_id)
        letters = [one for one in recalls.letters(work, recall_id, held=True) if one.state == "prepared"]
        if len(letters) != seen:
            raise refuse("{n} letters wait now; look at them again.", n=len(letters))
        for letter in letters:
            _send(parts, work, who, recall, letter)
        return sum(letter.state == "sent" for letter in letters)


def leave_out(parts: Parts, who: Actor, recall_id: str, letter_id: str) -> None:
    """Leave one letter unsent."""
    must_be(who, "office")
    with parts.store.writing() as work:
        letter = _still_prepared(work, recall_id, letter_id)
        _decide(work, who, recalls.recall(work, recall_id), letter, "left out")


def _still_prepared(work: Work, recall_id: str, letter_id: str) -> Any:
    letter = recalls.letter(work, recall_id, letter_id, held=True)
    if letter.state != "prepared":
        raise refuse("This letter is {now} already.", now=letter.state)
    return letter


def _send(parts: Parts, work: Work, who: Actor, recall: Any, letter: Any) -> None:
    to = _addresses(work, letter)
    if not to:
        # Whoever it was for is gone: a letter about somebody else's house is none of theirs any more.
        _decide(work, who, recall, letter, "left out")
        return
    for email in to:
        trail.add_letter(
            work, to=email, subject=letter.subject, text=letter.text, html=letter.html,
            domain=parts.mail_domain, lot_id=_lot(work, letter),
        )  # fmt: skip
    _decide(work, who, recall, letter, "sent")


def _addresses(work: Work, letter: Any) -> list[str]:
    if letter.company_id is not None:
        return [one.email for one in people.persons(work, kind="builder", company_id=letter.company_id)]
    now = holders.holder_now(work, letter.warranty_id)
    return [letter.email] if now is not None and now.id == letter.holder_id else []


def _lot(work: Work, letter: Any) -> str | None:
    return warranties.warranty(work, letter.warranty_id).lot_id if letter.warranty_id else None


def _decide(work: Work, who: Actor, recall: Any, letter: Any, state: str) -> None:
    letter.state, letter.decided_by, letter.decided_at = state, who.name, work.now
    verb = "recall letter sent" if state == "sent" else "recall letter left out"
    note(work, who, verb, recall.number, _lot(work, letter))
