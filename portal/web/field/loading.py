"""A technician's own load sheet of a day."""

from __future__ import annotations

from flask import url_for
from flask_babel import gettext as _
from werkzeug.wrappers import Response

from portal.acts import papers
from portal.acts.loading import load_sheet
from portal.core.treatment.equipment import WORDS
from portal.web.security import parts, who
from portal.web.shared.day_in import day_in
from portal.web.shared.pages import page
from portal.web.shared.paper_answers import pdf


def load(day: str) -> str:
    """As a page."""
    found = load_sheet(parts(), who(), who().person_id or "", day_in(day))
    back = _("My stops"), url_for("field.stops")
    return page(
        "field/load.html", load=found, paper=url_for("field.load_paper", day=day), back=back, words=WORDS
    )


def load_paper(day: str) -> Response:
    """To print."""
    return pdf(papers.load_paper(parts(), who(), who().person_id or "", day_in(day)))
