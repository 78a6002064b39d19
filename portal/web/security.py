"""Who is asking, what they may open, and the headers every answer carries (OWASP ASVS 5.0, 3.4 and 7)."""

from __future__ import annotations

from collections.abc import Callable
from itertools import chain

from flask import Flask, Response, abort, current_app, g, redirect, request, session, url_for
from werkzeug.wrappers import Response as AnyResponse

from portal.acts import people
from portal.acts.parts import Actor, Parts
from portal.core.errors import NotFound
from portal.settings import Settings

POLICY = "; ".join((
    "default-src 'none'", "style-src 'self'", "img-src 'self' data:", "font-src 'self'", "form-action 'self'",
    "frame-ancestors 'none'", "base-uri 'none'",
))  # fmt: skip

HEADERS = {
    "Content-Security-Policy": POLICY,
    "X-Content-Type-Options": "nosniff",
    "Referrer-Policy": "same-origin",
    "Cross-Origin-Opener-Policy": "same-origin",
    "Cross-Origin-Resource-Policy": "same-origin",
    "Permissions-Policy": "camera=(), geolocation=(), microphone=()",
}


def parts() -> Parts:
    """The parts of the house."""
    found = current_app.extensions["sillbook"]
    assert isinstance(found, Parts)
    return found


def who_or_none() -> Actor | None:
    """The person of this request, looked up once; None where nobody is signed in."""
    if "who" not in g:
        token = session.get("sign_in")
        g.who = people.who_is(parts(), token) if token else None
    found: Actor | None = g.who
    return found


def who() -> Actor:
    """The person of this request. A page behind `only` always has one."""
    found = who_or_none()
    assert found is not None
    return found


def only(*kinds: str) -> Callable[[], AnyResponse | None]:
    """A blueprint's guard: nobody is asked to sign in, another kind of person finds no such page."""

    def guard() -> AnyResponse | None:
        person = who_or_none()
        if person is None:
            if request.method not in ("GET", "HEAD"):
                abort(401)  # Whatever was typed is shown once more: a page to sign in on would lose it.
            return redirect(url_for("front.sign_in", next=request.full_path.rstrip("?")))
        if person.kind not in kinds:
            raise NotFound("page")
        return None

    return guard


def open_session(token: str) -> None:
    """Keep a sign-in's token in the cookie; what was in it before, a CSRF token included, is dropped."""
    session.clear()
    session["sign_in"] = token
    session.permanent = True


def address() -> str:
    """Where the request comes from, as far as the trusted proxies say."""
    return request.remote_addr or "unknown"


def own_path(wanted: str | None) -> str | None:
    """A path of our own to go on to, or None: never another site's, however it is written."""
    if not wanted or not wanted.startswith("/") or wanted.startswith("//") or "\\" in wanted:
        return None
    return wanted if all(c.isprintable() for c in wanted) else None


def install(app: Flask) -> None:
    """Take no address that is no text, and put the headers on every answer."""
    settings = app.extensions["sillbook_settings"]
    assert isinstance(settings, Settings)

    @app.before_request
    def only_text() -> None:
        # Nothing is called by a name with a NUL in it, and PostgreSQL breaks when asked for one.
        asked = chain([request.path], *request.args.items(multi=True))
        if any("\0" in part for part in asked):
            raise NotFound("page")

    @app.after_request
    def guarded(response: Response) -> Response:
        for name, value in HEADERS.items():
            response.headers.setdefault(name, value)
        if settings.secure:
            response.headers.setdefault("Strict-Transport-Security", "max-age=31536000; includeSubDomains")
        if request.endpoint not in ("static", "front.font"):
            response.headers.setdefault("Cache-Control", "no-store")
        return response
