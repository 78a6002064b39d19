"""Trouble reported: the list by age, a report, and each step of it."""

from __future__ import annotations

from flask import Response, flash, redirect, request, url_for
from flask_babel import gettext as _
from flask_babel import lazy_gettext
from werkzeug.wrappers import Response as AnyResponse

from portal.acts import retreating
from portal.acts import troubles as acts
from portal.acts.reporting import MOST_PHOTOS
from portal.core.cover.trouble import DECISIONS
from portal.core.errors import BadInput, Overtaken, Refused
from portal.pictures import LARGEST
from portal.web.security import parts, who
from portal.web.shared.pages import beside, fresh_once_key, page, summary, told
from portal.web.shared.photo_answers import jpeg
from portal.web.shared.sent_days import sent_day

Answer = AnyResponse | str | tuple[str, int]

STEPS = {
    "reported": lazy_gettext("Reported"), "answered": lazy_gettext("Answered"),
    "booked": lazy_gettext("Inspection booked"), "found": lazy_gettext("Inspected"),
    "decided": lazy_gettext("Decided"), "done": lazy_gettext("Something was done"),
    "closed": lazy_gettext("Closed"),
}  # fmt: skip
ENTER = {
    "answered": lazy_gettext("Answer"), "booked": lazy_gettext("Book an inspection"),
    "found": lazy_gettext("What the inspection found"), "decided": lazy_gettext("Decide"),
    "done": lazy_gettext("What was done"), "closed": lazy_gettext("Close"),
}  # fmt: skip
DECIDED = dict(zip(DECISIONS, (
    lazy_gettext("covered"), lazy_gettext("partly covered"), lazy_gettext("not covered"),
), strict=True))  # fmt: skip


def troubles() -> str:
    """The list: open ones, oldest first, or those closed."""
    closed = request.args.get("closed") == "yes"
    rows = acts.list_troubles(parts(), who(), closed=closed)
    return page("office/troubles.html", rows=rows, closed=closed, decided=DECIDED)


def trouble(trouble_id: str) -> str:
    """One report."""
    return _trouble(trouble_id)


def _trouble(
    trouble_id: str, at: str = "", errors: dict[str, list[str]] | None = None, refusal: str = ""
) -> str:
    found, wrong = acts.trouble(parts(), who(), trouble_id), errors or {}
    typed = {name: request.form.get(name, "") for name in ("words", "day", "person", "decision")}
    return page(
        "office/trouble.html", found=found, steps=STEPS, enter=ENTER, decided=DECIDED, at=at,
        errors=wrong, summary=summary(wrong), refusal=refusal, typed=typed, most=MOST_PHOTOS,
        ticked=request.form.getlist("clauses"), once=request.form.get("once_key") or fresh_once_key(),
    )  # fmt: skip


def trouble_step(trouble_id: str, step: str) -> Answer:
    """Take the next step."""
    chosen = [file for file in request.files.getlist("photos") if file.filename][: MOST_PHOTOS + 1]
    files = tuple(file.stream.read(LARGEST + 1) for file in chosen)
    try:
        acts.take_step(parts(), who(), trouble_id, step, _typed(), files, request.form.get("once_key", ""))
    except BadInput as bad:
        return _trouble(trouble_id, step, beside(bad)), 422
    except Refused as refused:
        return _trouble(trouble_id, step, refusal=told(refused.says)), 409
    flash(_("Kept, and told to whoever reported."))
    return redirect(url_for("office.trouble", trouble_id=trouble_id), 303)


def make_retreatment(trouble_id: str) -> Answer:
    """Make the lot under which it is treated again; its walls are then corrected there."""
    try:
        retreating.make_retreatment(parts(), who(), trouble_id, request.form.get("once_key", ""))
    except Refused as refused:
        return _trouble(trouble_id, refusal=told(refused.says)), 409
    flash(_("Made. Correct its walls to what is treated again, then make it a job."))
    return redirect(url_for("office.trouble", trouble_id=trouble_id), 303)


def agree_retreatment(trouble_id: str) -> Answer:
    """Make the re-treatment a job: the terms are its yes."""
    version = request.form.get("version", "")
    try:
        retreating.agree_retreatment(parts(), who(), trouble_id, int(version) if version.isdigit() else 0)
    except Refused as refused:
        return _trouble(trouble_id, refusal=told(refused.says)), 409
    except Overtaken:
        changed = _("Somebody else changed its walls in the meantime. Look at them, then press again.")
        return _trouble(trouble_id, refusal=changed), 409
    flash(_("It is a job now: book it."))
    return redirect(url_for("office.trouble", trouble_id=trouble_id), 303)


def _typed() -> acts.StepTyped:
    form = request.form
    words = form.get("words", "").replace("\r\n", "\n")
    return acts.StepTyped(
        words,
        sent_day("day"),
        form.get("person", ""),
        form.get("decision", ""),
        tuple(form.getlist("clauses")),
    )


def trouble_photo(trouble_id: str, trouble_photo_id: str, size: str) -> Response:
    """A photo of a report or of its inspection."""
    return jpeg(acts.trouble_photo(parts(), who(), trouble_id, trouble_photo_id, size == "small"))
