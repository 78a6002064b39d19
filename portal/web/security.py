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

#: The same for a page that allows our own script, which may ask nobody but us.
SCRIPTED = f"{POLICY}; script-src 'self'; connect-src 'self'"
#: And for a page whose script keeps it for a house without a signal.
WORKED = f"{SCRIPTED}; worker-src 'self'"

#: Forms with photos in them are larger than any other. What each photo may have is for the act to say.
ROOM_FOR_PHOTOS = {"field.photo": 11, "field.arrive": 64, "field.keep": 64, "field.treated": 64}

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


def allow_script(*, worker: bool = False, camera: bool = False) -> None:
    """The page of this answer carries a script of ours; every other page may run none.

    `worker`: it may register our service worker. `camera`: it may ask for the camera.
    """
    g.scripted = WORKED if worker else SCRIPTED
    if camera:
        g.camera = True


def make_room(app: Flask) -> None:
    """Let the addresses that take photos take more. Before all that reads a form, the CSRF guard included."""

    @app.before_request
    def room_for_photos() -> None:
        room = ROOM_FOR_PHOTOS.get(request.endpoint or "")
        if room:
            request.max_content_length = room * 1024 * 1024


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
        if g.get("scripted"):
            response.headers["Content-Security-Policy"] = g.scripted
        if g.get("camera"):
            response.headers["Permissions-Policy"] = "camera=(self), geolocation=(), microphone=()"
        for name, value in HEADERS.items():
            response.headers.setdefault(name, value)
        if settings.secure:
            response.headers.setdefault("Strict-Transport-Security", "max-age=31536000; includeSubDomains")
        if request.endpoint not in ("static", "front.font"):
            response.headers.setdefault("Cache-Control", "no-store")
        return response
