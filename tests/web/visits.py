"""People at their browsers: the application on a furnished house, a signed-in client for anybody."""

from __future__ import annotations

import html
import re
from dataclasses import dataclass, replace

from flask import Flask
from flask.testing import FlaskClient
from werkzeug.test import TestResponse

from portal import create_app
from portal.acts import people
from portal.acts.parts import Actor
from tests.parts.house import House


@dataclass(frozen=True)
class Visits:
    """The application of a house, and who looks at it."""

    house: House
    app: Flask

    def by(self, who: Actor | None) -> FlaskClient:
        """A browser in which this person is signed in, or nobody."""
        client = self.app.test_client()
        if who is not None and who.person_id:
            token = people.demo_sign_in(replace(self.house.parts, demo=True), who.person_id)
            with client.session_transaction() as session:
                session["sign_in"] = token
        return client


def make_visits(house: House, *, csrf: bool = False) -> Visits:
    """The house's application; forms need no CSRF token unless it is asked for."""
    app = create_app(house.settings, house.parts)
    app.config["WTF_CSRF_ENABLED"] = csrf
    return Visits(house, app)


def text_of(answer: TestResponse) -> str:
    """What a page says: without tags, spaces closed up."""
    bare = re.sub(r"<[^>]*>", " ", answer.get_data(as_text=True))
    return " ".join(html.unescape(bare).split())


def value_of(answer: TestResponse, name: str) -> str:
    """The value of the first field of this name."""
    page = answer.get_data(as_text=True)
    for tag in re.findall(r"<input\b[^>]*>", page):
        if f'name="{name}"' in tag:
            found = re.search(r'value="([^"]*)"', tag)
            return html.unescape(found[1]) if found else ""
    raise AssertionError(f"no field {name}")


def error_at(answer: TestResponse, name: str) -> str:
    """The words that stand beside the field of this id; nothing where it has no error."""
    found = re.search(rf'id="{re.escape(name)}-error">(.*?)</p>', answer.get_data(as_text=True), re.DOTALL)
    return " ".join(html.unescape(re.sub(r"<[^>]*>", " ", found[1])).split()) if found else ""
