"""The front door, in the order people meet it."""

from __future__ import annotations

import importlib
from pathlib import Path

from flask import Blueprint, Response, abort, flash, redirect, request, send_from_directory, session, url_for
from flask_babel import gettext as _
from werkzeug.wrappers import Response as AnyResponse

from portal.acts import colleagues, outbox, people
from portal.core.errors import BadInput, Refused
from portal.web.front import privacy
from portal.web.front.forms import ForgotForm, PasswordForm, SignInForm
from portal.web.security import address, open_session, own_path, parts, who_or_none
from portal.web.shared.calendar import feed
from portal.web.shared.pages import HOME, beside, page, told

front = Blueprint("front", __name__)

FONTS = Path(importlib.import_module("font_source_sans_pro").__file__ or "").parent / "files"


front.get("/privacy")(privacy.privacy)
front.get("/my-data.json")(privacy.my_data)


@front.get("/")
def home() -> AnyResponse:
    """Everybody's first page is the one they work on."""
    person = who_or_none()
    return redirect(url_for(HOME[person.kind] if person else "front.sign_in"))


@front.route("/sign-in", methods=["GET", "POST"])
def sign_in() -> AnyResponse | str | tuple[str, int]:
    """Sign in; in the demo, with one press."""
    form = SignInForm()
    if form.validate_on_submit():
        try:
            open_session(people.sign_in(parts(), form.email.data or "", form.password.data or "", address()))
        except Refused as refused:
            form.form_errors = [told(refused.says)]
            return _sign_in_page(form), 403
        return redirect(own_path(request.args.get("next")) or url_for("front.home"))
    return _sign_in_page(form) if not form.errors else (_sign_in_page(form), 422)


def _sign_in_page(form: SignInForm) -> str:
    demo = people.demo_people(parts()) if parts().demo else []
    return page("front/sign_in.html", form=form, demo_people=demo)


@front.post("/demo/sign-in/<person_id>")
def demo_sign_in(person_id: str) -> AnyResponse:
    """In the demo only: be somebody with one press."""
    open_session(people.demo_sign_in(parts(), person_id))
    return redirect(url_for("front.home"))


@front.post("/sign-out")
def sign_out() -> AnyResponse:
    """Close the sign-in here and in the store."""
    token = session.get("sign_in")
    session.clear()
    if token:
        people.sign_out(parts(), token)
    flash(_("You are signed out."))
    return redirect(url_for("front.sign_in"))


@front.route("/join/<token>", methods=["GET", "POST"])
def join(token: str) -> AnyResponse | str | tuple[str, int]:
    """An invited person chooses a password."""
    return _choose("invitation", token, _("Welcome to Sillbook"))


@front.route("/reset/<token>", methods=["GET", "POST"])
def reset(token: str) -> AnyResponse | str | tuple[str, int]:
    """A forgotten password is replaced."""
    return _choose("reset", token, _("Choose a new password"))


def _choose(purpose: str, token: str, heading: str) -> AnyResponse | str | tuple[str, int]:
    person = people.link_is_for(parts(), purpose, token)
    form = PasswordForm()
    status = 200
    if form.validate_on_submit():
        try:
            open_session(people.set_password(parts(), purpose, token, form.password.data or ""))
            return redirect(url_for("front.home"))
        except BadInput as bad:
            form.password.errors = beside(bad)["password"]
    if form.errors:
        status = 422
    return page("front/password.html", form=form, chosen_for=person, heading=heading), status


@front.route("/forgot", methods=["GET", "POST"])
def forgot() -> AnyResponse | str | tuple[str, int]:
    """Ask for a link. The answer is the same whether or not there is such a person."""
    form = ForgotForm()
    if form.validate_on_submit():
        people.forgot(parts(), form.email.data or "", address())
        flash(_("If this mail address is known here, a link is on its way to it."))
        return redirect(url_for("front.sign_in"))
    return page("front/forgot.html", form=form), 422 if form.errors else 200


@front.get("/fewer/<token>")
def fewer(token: str) -> str:
    """Asks whether one kind of letters is to be turned off, as a letter's own link does."""
    whom, kind = colleagues.letters_of_link(parts(), token)
    return page("front/fewer.html", whom=whom, kind=kind, done=False)


@front.post("/fewer/<token>")
def fewer_now(token: str) -> str:
    """Turns it off with one press, for a person or their mail program (RFC 8058): who has the link may."""
    colleagues.turn_off(parts(), token)
    whom, kind = colleagues.letters_of_link(parts(), token)
    return page("front/fewer.html", whom=whom, kind=kind, done=True)


@front.get("/letters")
def letters() -> str:
    """In the demo only: every mail as it would arrive."""
    return page("front/letters.html", letters=outbox.letters(parts()))


@front.get("/letters/<letter_id>")
def letter(letter_id: str) -> str:
    """In the demo only: one mail, its links working."""
    return page("front/letter.html", letter=outbox.letter(parts(), letter_id))


@front.get("/calendar/<token>.ics")
def calendar(token: str) -> Response:
    """Whoever holds the address: a technician's stops, or the treatments of a builder's lots."""
    return feed(token)


@front.get("/fonts/<name>")
def font(name: str) -> Response:
    """The typeface, from the package it is installed with."""
    if not name.endswith(".ttf"):
        abort(404)
    return send_from_directory(FONTS, name, max_age=31_536_000)


@front.get("/health")
def health() -> tuple[str, int]:
    """Answers as soon as pages can be served."""
    return "ok\n", 200
