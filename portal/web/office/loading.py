"""The load sheet of a technician's day, in the office."""

from __future__ import annotations

from flask import Response, url_for
from flask_babel import gettext as _

from portal.acts import papers
from portal.acts.loading import load_sheet
from portal.core.treatment.equipment import WORDS
from portal.web.security import parts, who
from portal.web.shared.day_in import day_in
from portal.web.shared.pages import page
from portal.web.shared.paper_answers import pdf


def load(technician_id: str, day: str) -> str:
    """As a page."""
    found = load_sheet(parts(), who(), technician_id, day_in(day))
    paper = url_for("office.load_paper", technician_id=technician_id, day=day)
    back = _("Crew days"), url_for("office.crew_days", begin=day)
    return page("office/load.html", load=found, paper=paper, back=back, words=WORDS)


def load_paper(technician_id: str, day: str) -> Response:
    """To print."""
    return pdf(papers.load_paper(parts(), who(), technician_id, day_in(day)))
