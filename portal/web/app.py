"""Puts the web room together: settings, security, filters, blueprints, error answers."""

from __future__ import annotations

from datetime import timedelta
from pathlib import Path

from flask import Flask
from flask_babel import Babel, gettext, ngettext
from flask_wtf import CSRFProtect
from werkzeug.middleware.proxy_fix import ProxyFix

from portal.acts.parts import Parts
from portal.formats import Formats
from portal.settings import Settings
from portal.web import answers, security
from portal.web.builder.addresses import builder
from portal.web.field.addresses import field
from portal.web.field.worker import worker
from portal.web.front.addresses import front
from portal.web.homeowner.addresses import homeowner
from portal.web.office.addresses import office
from portal.web.purchaser.addresses import purchaser
from portal.web.shared import bands, pages, words

ROOT = Path(__file__).resolve().parents[2]
#: A form of 300 walls is well below this; what is above is no form of ours.
LARGEST_REQUEST = 2 * 1024 * 1024


def make_app(settings: Settings, parts: Parts) -> Flask:
    """A Flask application that holds its parts under `extensions`."""
    app = Flask("portal", root_path=str(ROOT / "portal"), template_folder=str(ROOT / "templates"),
                static_folder=str(ROOT / "static"))  # fmt: skip
    app.config.update(
        SECRET_KEY=settings.secret,
        SESSION_COOKIE_NAME="__Host-sillbook" if settings.secure else "sillbook",
        SESSION_COOKIE_SECURE=settings.secure,
        SESSION_COOKIE_HTTPONLY=True,
        SESSION_COOKIE_SAMESITE="Lax",
        PERMANENT_SESSION_LIFETIME=timedelta(days=60),
        MAX_CONTENT_LENGTH=LARGEST_REQUEST,
        MAX_FORM_MEMORY_SIZE=LARGEST_REQUEST,
        MAX_FORM_PARTS=20_000,
        WTF_CSRF_TIME_LIMIT=None,
        BABEL_TRANSLATION_DIRECTORIES=str(settings.catalogs),
        SEND_FILE_MAX_AGE_DEFAULT=3600,
    )
    app.extensions["sillbook"] = parts
    app.extensions["sillbook_settings"] = settings
    Babel(app, default_locale=settings.locale, locale_selector=lambda: settings.locale)
    security.make_room(app)
    # A mail program that turns letters off (RFC 8058) has no token of ours; its link is secret enough.
    CSRFProtect(app).exempt("portal.web.front.addresses.fewer_now")
    _set_up_templates(app, Formats(settings.locale, parts.zone, gettext, ngettext))
    for blueprint in (front, builder, office, field, worker, homeowner, purchaser):
        app.register_blueprint(blueprint)
    security.install(app)
    answers.install(app)
    if settings.trusted_proxies:
        hops = settings.trusted_proxies
        app.wsgi_app = ProxyFix(app.wsgi_app, x_for=hops, x_proto=hops, x_host=hops)  # type: ignore[method-assign]
    return app


def _set_up_templates(app: Flask, formats: Formats) -> None:
    app.extensions["sillbook_formats"] = formats
    app.jinja_env.filters.update(formats.filters() | words.filters())
    app.jinja_env.filters["band_drawn"] = bands.drawn
    app.jinja_env.trim_blocks = app.jinja_env.lstrip_blocks = True
    app.jinja_env.autoescape = True
    app.context_processor(pages.always)
