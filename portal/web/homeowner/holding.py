"""A holder's own page, through a mailed link: the record, own address, and handing it on."""

from __future__ import annotations

from collections.abc import Callable

from flask import Response, flash, redirect, request, url_for
from flask_babel import gettext as _
from werkzeug.wrappers import Response as AnyResponse

from portal.acts import holder_page as acts
from portal.acts import own_data, removing
from portal.core.errors import BadInput, NotFound, Refused, TooManyTries
from portal.web.homeowner.holder_forms import ContactForm, LinkForm, NextForm, TakeForm
from portal.web.homeowner.links_over import over
from portal.web.security import address, parts
from portal.web.shared.data_answers import json_file
from portal.web.shared.pages import fresh_once_key, page, told
from portal.web.shared.paper_answers import pdf
from portal.web.shared.sheet_form import SheetForm

Answer = AnyResponse | str | tuple[str, int] | tuple[str, int, dict[str, str]]


def ask_link() -> Answer:
    """A holder's link, asked for anew: one answer to everybody."""
    form = LinkForm.sent() if request.method == "POST" else LinkForm.blank()
    if request.method != "POST":
        return page("homeowner/mine_ask.html", form=form, sentence="")
    try:
        acts.ask_link(parts(), form.text("number"), form.text("email"), address())
    except BadInput as bad:
        form.take(bad)
        return page("homeowner/mine_ask.html", form=form, sentence=""), 422
    except TooManyTries as error:
        minutes = -(-error.wait_seconds // 60)
        sentence = _("Asked too often. Wait %(minutes)s minutes, then ask again.", minutes=minutes)
        again = {"Retry-After": str(error.wait_seconds)}
        return page("homeowner/mine_ask.html", form=form, sentence=sentence), 429, again
    return redirect(url_for("homeowner.link_asked"), 303)


def link_asked() -> str:
    """The one answer to everybody who asked for a link."""
    return page("homeowner/mine_asked.html")


def mine(token: str) -> Answer:
    """The holder's page."""
    return _shown(token)


def _shown(token: str, typed: SheetForm | None = None, refusal: str = "") -> Answer:
    try:
        found = acts.look(parts(), token)
    except Refused as refused:
        return over(refused)
    except NotFound:
        return over()
    contact = typed if isinstance(typed, ContactForm) else ContactForm.blank(
        email=found.email, phone=found.phone)  # fmt: skip
    handing = typed if isinstance(typed, NextForm) else NextForm.blank()
    return page("homeowner/mine.html", token=token, found=found, contact=contact, handing=handing,
                refusal=refusal, wrong=typed.wrong() if typed else [],
                once_key=request.form.get("once_key") or fresh_once_key())  # fmt: skip


def _did(token: str, form: SheetForm | None, act: Callable[[], str | None], said: str) -> Answer:
    """Do an act of the holder's, then their page; `act` answers the token that goes on, if another."""
    try:
        if form is not None and not form.validate():
            return _again(token, form)
        token = act() or token
    except BadInput as bad:
        assert form is not None
        form.take(bad)
        return _again(token, form)
    except Refused as refused:
        shown = _shown(token, form, told(refused.says))
        return (shown, 409) if isinstance(shown, str) else shown
    flash(said)
    return redirect(url_for("homeowner.mine", token=token), 303)


def _again(token: str, form: SheetForm) -> Answer:
    shown = _shown(token, form)
    return (shown, 422) if isinstance(shown, str) else shown


def contact(token: str) -> Answer:
    """Correct the holder's own address."""
    form = ContactForm.sent()
    return _did(token, form, lambda: acts.correct(parts(), token, form.text("email"), form.text("phone")),
                _("Your address is corrected. Another mail address gets a new link."))  # fmt: skip


def ask_transfer(token: str) -> Answer:
    """Hand it on to the next owner."""
    form = NextForm.sent()

    def act() -> None:
        acts.ask_transfer(parts(), token, form.next_owner(), request.form.get("once_key", ""))

    return _did(token, form, act, _("Kept. Below stands what happens next."))


def withdraw(token: str) -> Answer:
    """Take back that it is handed on."""
    return _did(token, None, lambda: acts.withdraw(parts(), token), _("Taken back. It stays yours."))


def certificate(token: str) -> Response:
    """The certificate, for its holder."""
    return pdf(acts.certificate(parts(), token))


def own_data_file(token: str) -> Response | Answer:
    """All that is kept of the holder, as a file."""
    try:
        return json_file("my-data.json", own_data.data_of_holder(parts(), token))
    except Refused as refused:
        return over(refused)


def leave(token: str) -> Answer:
    """The holder asks to be taken off; they have to say so twice."""
    if request.form.get("sure") != "yes":
        return _shown(token, refusal=_("Tick that you are sure, then press again."))
    try:
        removing.leave(parts(), token)
    except Refused as refused:
        return _shown(token, refusal=told(refused.says))
    flash(_("You are taken off. The warranty stays with the house."))
    return redirect(url_for("homeowner.find"), 303)


def closing_packet(token: str) -> Response:
    """The closing packet, for its holder."""
    return pdf(acts.closing_packet(parts(), token))


def handed(token: str) -> Answer:
    """What the next owner is offered, and their yes."""
    form = TakeForm.sent() if request.method == "POST" else None
    try:
        found = acts.offered(parts(), token)
        form = form or TakeForm.blank(person=found.name)
        if request.method == "POST":
            on = acts.accept(parts(), token, form.text("person"), form.text("phone"))
            flash(_("The warranty is yours. Keep the mail with the link to this page."))
            return redirect(url_for("homeowner.mine", token=on), 303)
    except BadInput as bad:
        assert form is not None
        form.take(bad)
        return page("homeowner/handed.html", token=token, found=found, form=form), 422
    except Refused as refused:
        return over(refused)
    except NotFound:
        return over()
    return page("homeowner/handed.html", token=token, found=found, form=form)


def decline(token: str) -> Answer:
    """The next owner says no."""
    try:
        acts.decline(parts(), token)
    except Refused as refused:
        return over(refused)
    except NotFound:
        return over()
    return page("homeowner/link_over.html", sentence=_("Declined. The warranty stays where it was."))
