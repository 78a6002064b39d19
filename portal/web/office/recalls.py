"""A product lot or a certificate found bad: looked at, letters prepared, read, and sent by a press."""

from __future__ import annotations

from flask import flash, redirect, request, url_for
from flask_babel import gettext as _
from werkzeug.wrappers import Response as AnyResponse

from portal.acts import recall_letters, recalling
from portal.core.errors import BadInput, Refused
from portal.web.office.recall_form import KINDS, MARKS, STATES, RecallForm
from portal.web.security import parts, who
from portal.web.shared.pages import fresh_once_key, page, told

Answer = AnyResponse | str | tuple[str, int]


def recalls() -> str:
    """All of them."""
    return page("office/recalls.html", rows=recalling.list_recalls(parts(), who()), kinds=KINDS)


def new_recall() -> Answer:
    """Look at every record it concerns; then prepare the letters. Looking is the first press, and changes
    nothing; preparing is the second."""
    if request.method != "POST":
        return _new(RecallForm.blank())
    form = RecallForm.sent()
    try:
        concerned = recalling.look(parts(), who(), form.asked, asked_page()) if form.validate() else None
        if concerned is None or "prepare" not in request.form:
            return _new(form, concerned), 422 if concerned is None else 200
        words, once = (form.text("found"), form.text("to_do")), request.form.get("once_key", "")
        made = recalling.begin(parts(), who(), form.asked, *words, form.text("looked"), once)
    except BadInput as bad:
        form.take(bad)
        return _new(form, _again(form)), 422
    except Refused as refused:
        return _new(form, _again(form), told(refused.says)), 409
    flash(_("The letters are prepared. None is sent before somebody reads it and presses."))
    return redirect(url_for("office.recall", recall_id=made), 303)


def asked_page(name: str = "page") -> int:
    """The page that is asked for; what is no number asks for the first."""
    typed = request.values.get(name, "")
    return int(typed) if typed.isascii() and typed.isdecimal() and len(typed) < 7 else 1


def _again(form: RecallForm) -> recalling.Houses | None:
    try:
        return recalling.look(parts(), who(), form.asked)
    except BadInput:
        return None


def _new(form: RecallForm, concerned: recalling.Houses | None = None, refusal: str = "") -> str:
    form.looked.data = concerned.mark if concerned is not None else ""
    once = request.form.get("once_key") or fresh_once_key()
    return page("office/recall_new.html", form=form, concerned=concerned, refusal=refusal, once=once)


def recall(recall_id: str) -> str:
    """One of them: its records and its letters."""
    return _recall(recall_id)


def _recall(recall_id: str, refusal: str = "") -> str:
    found = recalling.recall(parts(), who(), recall_id, asked_page("houses"), asked_page("letters"))
    return page("office/recall.html", found=found, kinds=KINDS, states=STATES, marks=MARKS, refusal=refusal)


def send_all(recall_id: str) -> Answer:
    """Send every letter that is still prepared."""
    seen = request.form.get("seen", "")
    try:
        sent = recall_letters.send_all(parts(), who(), recall_id, int(seen) if seen.isdecimal() else -1)
    except Refused as refused:
        return _recall(recall_id, told(refused.says)), 409
    flash(_("%(count)s letters are on their way.", count=sent))
    return redirect(url_for("office.recall", recall_id=recall_id), 303)


def recall_letter(recall_id: str, recall_letter_id: str) -> str:
    """One letter, to be read."""
    letter = recalling.recall_letter(parts(), who(), recall_id, recall_letter_id)
    return page("office/recall_letter.html", letter=letter, recall_id=recall_id, states=STATES, marks=MARKS)


def press(recall_id: str, recall_letter_id: str, what: str) -> Answer:
    """Send this letter, or leave it out."""
    act = recall_letters.send_letter if what == "send" else recall_letters.leave_out
    try:
        act(parts(), who(), recall_id, recall_letter_id)
    except Refused as refused:
        return _recall(recall_id, told(refused.says)), 409
    flash(_("The letter is on its way.") if what == "send" else _("The letter is left out."))
    return redirect(url_for("office.recall", recall_id=recall_id), 303)
