"""Further pages of a record: what they can be about, and how they stand on a page."""

from __future__ import annotations

from typing import Any

from flask_babel import gettext as _

from portal.core.documents import RecordPageDocument
from portal.core.documents.pages import SUBJECTS
from portal.web.shared.pages import reads, told


def subject_choices() -> list[tuple[str, str]]:
    """What a page can be about, to choose from."""
    return [("", _("Choose")), *((key, told(says)) for key, says in SUBJECTS.items())]


def headline(page: RecordPageDocument) -> str:
    """Which page it is, who wrote it and when."""
    values = {"number": page.number, "by": page.by, "at": reads().moment(page.at)}
    if page.kind == "sent back":
        return str(_("Page %(number)s: sent back by %(by)s, %(at)s", **values))
    if page.kind == "explained":
        return str(_("Page %(number)s: explained by %(by)s, %(at)s", **values))
    return str(_("Page %(number)s: amended by %(by)s, %(at)s", **values))


def lines(page: RecordPageDocument) -> list[tuple[str, Any]]:
    """What it says, by label; what it leaves out is left out."""
    about = told(SUBJECTS[page.subject]) if page.subject else ""
    said = [
        (_("About"), about),
        (_("What the record says"), page.was),
        (_("What is right"), page.now),
        (_("Why"), page.why),
    ]
    return [(label, words) for label, words in said if words]
