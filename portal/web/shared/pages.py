"""Rendering a page: what every template gets, and errors beside their fields."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from flask import current_app, render_template, request, url_for
from flask_babel import lazy_gettext

from portal.acts.parts import Actor
from portal.core.errors import BadInput
from portal.core.words import Said
from portal.formats import Formats
from portal.web import security

#: The places of each kind of user: words, endpoint.
PLACES = {
    "builder": (
        (lazy_gettext("Our lots"), "builder.lots"), (lazy_gettext("House plans"), "builder.plans"),
        (lazy_gettext("Ask for a price"), "builder.ask"),
        (lazy_gettext("Papers"), "builder.papers"),
    ),
    "office": (
        (lazy_gettext("Today"), "office.today"), (lazy_gettext("Lots"), "office.lots"),
        (lazy_gettext("Crew days"), "office.crew_days"), (lazy_gettext("Money in"), "office.money_in"),
        (lazy_gettext("Warranty register"), "office.register"),
        (lazy_gettext("Rate book"), "office.rate_book"), (lazy_gettext("People"), "office.people"),
    ),
    "technician": ((lazy_gettext("My stops"), "field.stops"),),
}  # fmt: skip
HOME = {"builder": "builder.lots", "office": "office.today", "technician": "field.stops"}


def always() -> dict[str, Any]:
    """What every template gets: who is signed in, their places, the demo's own place."""
    person = security.who_or_none()
    values: dict[str, Any] = {
        "lang": reads().language,
        "person": None,
        "person_url": None,
        "places": _places(person),
        "home_url": url_for("front.home"),
    }
    if person is not None:
        values |= {"person": person.name, "sign_out_url": url_for("front.sign_out")}
        values["person_url"] = url_for("builder.people") if person.kind == "builder" else None
    return values


def _places(person: Actor | None) -> list[tuple[Any, str, bool]]:
    own = PLACES[person.kind] if person else ((lazy_gettext("Find a warranty"), "homeowner.find"),)
    places = [(words, url_for(endpoint), request.endpoint == endpoint) for words, endpoint in own]
    if security.parts().demo:
        letters = url_for("front.letters")
        places.append((lazy_gettext("Letters"), letters, request.path.startswith(letters)))
    return places


def page(template: str, **values: Any) -> str:
    """Render a page."""
    return render_template(template, **values)


def reads() -> Formats:
    """How the reader of this page reads amounts, feet, days and sentences."""
    found = current_app.extensions["sillbook_formats"]
    assert isinstance(found, Formats)
    return found


def told(said: Said) -> str:
    """A sentence of the core in the reader's language."""
    return reads().told(said)


def beside(bad: BadInput) -> dict[str, list[str]]:
    """Problems by field name, as the form macros show them."""
    found: dict[str, list[str]] = {}
    for problem in bad.problems:
        found.setdefault(problem.at, []).append(told(problem.says))
    return found


def summary(errors: Mapping[str, list[str]]) -> list[tuple[str, str]]:
    """The same for the list at the top of the page."""
    return [(at, sentence) for at, sentences in errors.items() for sentence in sentences]


def fresh_once_key() -> str:
    """A once-key for a form about to be shown."""
    return security.parts().luck.token()
