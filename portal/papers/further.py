"""The further pages of a record as they are printed: behind the record, and named on what is made of it."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from portal.core.documents import RecordPageDocument, from_stored
from portal.core.documents.pages import SUBJECTS


@dataclass(frozen=True, slots=True)
class FurtherPage:
    """One page. `subject` is in the reader's words, empty where the office only asks."""

    number: int
    kind: str
    by: str
    at: datetime
    subject: str
    was: str
    now: str
    why: str
    before: str
    fingerprint: str


def pages_of(beside: Mapping[str, Any], translate: Callable[[str], str]) -> tuple[FurtherPage, ...]:
    """The pages that stand beside the record, in their order."""
    found = []
    for stored in beside.get("pages", ()):
        mark = stored["fingerprint"]
        page = from_stored(RecordPageDocument, {k: v for k, v in stored.items() if k != "fingerprint"})
        subject = translate(SUBJECTS[page.subject].template) if page.subject else ""
        found.append(
            FurtherPage(
                page.number, page.kind, page.by, page.at, subject, page.was, page.now, page.why, page.before,
                mark,
            )
        )  # fmt: skip
    return tuple(found)
