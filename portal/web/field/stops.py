"""The technician's stops, and the one being worked on. All of it works without a script."""

from __future__ import annotations

from collections.abc import Callable

from flask import flash, redirect, request, url_for
from flask_babel import gettext as _
from werkzeug.wrappers import Response

from portal.acts import amending, papers, treating
from portal.core.errors import BadInput
from portal.web.field.entry import anchor, read_entry, read_seen, show
from portal.web.field.explaining import treated_page
from portal.web.field.photos import take_photos
from portal.web.field.sending import as_known
from portal.web.field.words import words
from portal.web.security import allow_script, parts, who
from portal.web.shared.calendar import calendar_page
from portal.web.shared.pages import beside, fresh_once_key, page, summary
from portal.web.shared.paper_answers import pdf
from portal.web.shared.sketch import drawings

Entry = dict[str, str]
Answer = str | Response | tuple[str, int]


def my_stops() -> str:
    """Today's first, then the next, then those done. Its script makes the next ones ready for no signal."""
    to_do, done = treating.my_stops(parts(), who())
    today = parts().today()
    sent_back = amending.sent_back_to_me(parts(), who())
    now, later = ([s for s in to_do if (s.day > today) is ahead] for ahead in (False, True))
    allow_script(worker=True)
    ready = [stop for stop in to_do if (stop.day - today).days <= 1]
    return page(
        "field/stops.html",
        now=now,
        later=later,
        done=done,
        sent_back=sent_back,
        today=today,
        ready=ready,
        words=words(),
        person_id=who().person_id,
    )


def calendar() -> str | Response:
    """The private address of one's calendar of stops."""
    return calendar_page("field.calendar")


def stop(job_id: str) -> str:
    """One stop: what to know, and the entry as far as it has come."""
    return _page(job_id)


def _page(job_id: str, typed: Entry | None = None, errors: dict[str, list[str]] | None = None) -> str:
    found = treating.stop(parts(), who(), job_id)
    once = request.form.get("once_key") or fresh_once_key()
    if found.state in ("treated", "signed off"):
        return treated_page(found)
    allow_script(worker=True, camera=True)
    return page(
        "field/stop.html", stop=found, shown=show(found, typed, parts().now(), parts().zone), once=once,
        drawn=drawings(found.sheet.house), errors=errors or {}, problems=summary(errors or {}),
        known=as_known(found), words=words(), zone=str(parts().zone), person_id=who().person_id,
    )  # fmt: skip


def sheet_paper(job_id: str) -> Response:
    """The field sheet, to print or to take along."""
    return pdf(papers.stop_sheet(parts(), who(), job_id))


def _do(job_id: str, act: Callable[[Entry, int | None], Answer]) -> Answer:
    """An act with the form and its photos; where something of it cannot be, the page with the words."""
    entry, wrong = read_entry(request.form), take_photos(job_id)
    try:
        answer = act(entry, read_seen(request.form))
    except BadInput as bad:
        # A photo that could not be read is told as what it is, and not as one that is missing.
        told = {problem.at for problem in wrong}
        wrong += [problem for problem in bad.problems if problem.at not in told]
    return (_page(job_id, entry, beside(BadInput(wrong))), 422) if wrong else answer


def arrive(job_id: str) -> Answer:
    """On site."""

    def act(entry: Entry, seen: int | None) -> Answer:
        treating.arrive(parts(), who(), job_id, entry, seen)
        return redirect(url_for("field.stop", job_id=job_id, _anchor="cautions"), 303)

    return _do(job_id, act)


def keep(job_id: str) -> Answer:
    """Keep what is typed; with the time it is, or the walls as quoted, where one of those was pressed."""

    def act(entry: Entry, seen: int | None) -> Answer:
        at, press = request.form.get("now", ""), request.form.get("press", "")
        if at:
            treating.keep_with_time(parts(), who(), job_id, entry, at, seen)
            return redirect(url_for("field.stop", job_id=job_id, _anchor=anchor(at)), 303)
        if press == "as-quoted":
            treating.keep_as_quoted(parts(), who(), job_id, entry, seen)
            return redirect(url_for("field.stop", job_id=job_id, _anchor="walls"), 303)
        treating.keep(parts(), who(), job_id, entry, seen)
        if press.startswith("on-to-"):
            place = anchor(press.removeprefix("on-to-"))
            return redirect(url_for("field.stop", job_id=job_id, _anchor=place), 303)
        flash(_("Kept. It is not marked treated yet."))
        return redirect(url_for("field.stop", job_id=job_id), 303)

    return _do(job_id, act)


def treated(job_id: str) -> Answer:
    """Mark it treated, or say all that is missing."""

    def act(entry: Entry, seen: int | None) -> Answer:
        once_key = request.form.get("once_key", "")
        treating.mark_treated(parts(), who(), job_id, entry, once_key, seen)
        flash(_("It is marked treated. The record, the invoice and the warranty are made."))
        return redirect(url_for("field.stop", job_id=job_id), 303)

    return _do(job_id, act)
