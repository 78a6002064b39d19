"""Errors become answers, in one table: what was wrong, and where to go on. A trace is for the log."""

from __future__ import annotations

from typing import Any
from urllib.parse import urlsplit

from flask import Flask, Response, current_app, make_response, request, url_for
from flask_babel import gettext as _
from flask_babel import lazy_gettext
from flask_wtf.csrf import CSRFError
from werkzeug.exceptions import HTTPException, RequestEntityTooLarge

from portal.core.errors import BadInput, NotAllowed, NotFound, Overtaken, Refused, TooManyTries
from portal.core.words import say
from portal.web.security import own_path
from portal.web.shared.pages import page, told

#: Never shown back: they are ours, or secret.
NOT_TYPED = frozenset({"csrf_token", "once_key", "password", "version", "seen", "revision", "press"})
#: What a person can run into who opens or sends something that no page of ours offers.
OF_CODES = {
    405: (
        lazy_gettext("Nothing to open here"),
        lazy_gettext(
            "This address only takes a form. Open the page that the form is on, and send it from there."
        ),
    ),
    413: (
        lazy_gettext("Too much at once"),
        lazy_gettext("What was sent is larger than any form here. Nothing was done; send less at a time."),
    ),
}
NOT_UNDERSTOOD = (
    lazy_gettext("This was not understood"),
    lazy_gettext("Nothing was done. Open the page again and send it from there."),
)


def _answer(status: int, title: Any, sentence: Any, on: str = "", words: str = "") -> Response:
    shown = page("front/answer.html", heading=title, sentence=sentence, typed=_typed(), on=on or _came_from(),
                 words=words or _("Go on from here"))  # fmt: skip
    return make_response(shown, status)


def _typed() -> list[tuple[str, str]]:
    """What was typed, so that it can be taken along. Forms of the office put their own name before a dash."""
    try:
        form = request.form
    except RequestEntityTooLarge:
        return []  # this is what is being answered: there is no form to read
    return [
        (name.replace("_", " "), value)
        for name, value in form.items()
        if value.strip() and name.rpartition("-")[2] not in NOT_TYPED
    ]


def _came_from() -> str:
    """The page that a form was sent from; else everybody's first page."""
    came = urlsplit(request.referrer or "")
    own = came.netloc == request.host and request.method == "POST"
    return own_path(came.path + (f"?{came.query}" if came.query else "")) or "/" if own else "/"


def install(app: Flask) -> None:
    """Register the table."""

    @app.errorhandler(NotFound)
    @app.errorhandler(404)
    def not_found(_error: Exception) -> Response:
        return _answer(
            404, _("Not on this set of sheets"), _("There is no such page, or it is not yours to see.")
        )

    @app.errorhandler(NotAllowed)
    def not_allowed(error: NotAllowed) -> Response:
        return _answer(403, _("Not yours to do"), told(error.says))

    @app.errorhandler(Refused)
    def refused(error: Refused) -> Response:
        return _answer(409, _("This cannot be done as it stands"), told(error.says))

    @app.errorhandler(BadInput)
    def bad_input(error: BadInput) -> Response:
        return _answer(422, _("Something needs another look"), " ".join(told(p.says) for p in error.problems))

    @app.errorhandler(Overtaken)
    def overtaken(error: Overtaken) -> Response:
        by = error.by or _("Somebody else")
        did = error.did or say("changed this")
        sentence = told(say("{by} {did} in the meantime. Nothing of yours was lost or done; open the "
                            "sheet, see what changed, and enter it again.", by=by, did=did))  # fmt: skip
        return _answer(409, _("Changed in the meantime"), sentence)

    @app.errorhandler(TooManyTries)
    def too_many(error: TooManyTries) -> Response:
        sentence = told(say("Too many tries. Wait {n} seconds, then try again.", n=error.wait_seconds))
        response = _answer(429, _("Slow down a little"), sentence)
        response.headers["Retry-After"] = str(error.wait_seconds)
        return response

    @app.errorhandler(401)
    def signed_out(_error: Exception) -> Response:
        return _answer(401, _("Your sign-in is over"),
                       _("Nothing was done. Sign in, open the page again, and enter it once more."),
                       url_for("front.sign_in"), _("Sign in"))  # fmt: skip

    @app.errorhandler(CSRFError)
    def stale_form(_error: CSRFError) -> Response:
        return _answer(
            400, _("The form was too old"), _("Open the page again and send it from there. Nothing was done.")
        )

    @app.errorhandler(HTTPException)
    def other(error: HTTPException) -> Response:
        code = error.code or 500
        if code < 400:
            return error.get_response()  # type: ignore[return-value]
        # In the house's words: the library's own are English, and speak of methods and entities.
        return _answer(code, *OF_CODES.get(code, NOT_UNDERSTOOD))

    @app.errorhandler(500)
    @app.errorhandler(Exception)
    def broken(error: Exception) -> Response:
        if isinstance(error, HTTPException) and error.code and error.code < 500:
            return other(error)
        current_app.logger.exception("A page broke: %s %s", request.method, request.path)
        return _answer(500, _("Something broke on our side"),
                       _("Nothing was done. It is noted; try again, or call the office."))  # fmt: skip
