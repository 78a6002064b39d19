"""People at their browsers: the application on a furnished house, a signed-in client for anybody."""

from __future__ import annotations

import html
import io
import re
from dataclasses import dataclass, field, replace
from html.parser import HTMLParser

from flask import Flask
from flask.testing import FlaskClient
from werkzeug.datastructures import FileStorage
from werkzeug.test import TestResponse, encode_multipart

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
    return _bare(answer.get_data(as_text=True))


def _bare(markup: str) -> str:
    return " ".join(html.unescape(re.sub(r"<[^>]*>", " ", markup)).split())


def error_at(answer: TestResponse, name: str) -> str:
    """The words beside the field of this name; nothing where it has no error."""
    ident = name.replace("[", "-").replace("]", "").replace(".", "-")
    page = answer.get_data(as_text=True)
    found = re.search(rf'id="{re.escape(ident)}-error">(.*?)</p>', page, re.DOTALL)
    return _bare(found[1]).removeprefix("Error:").strip() if found else ""


def form_of(answer: TestResponse, action: str) -> dict[str, str]:
    """What a browser would send of the form whose action ends like this, before anything is typed."""
    reader = _FormReader(action)
    reader.feed(answer.get_data(as_text=True))
    assert reader.found, f"no form {action}"
    return reader.values


def press(client: FlaskClient, lot_id: str, act: str, sheet: str = "quote", **typed: str) -> TestResponse:
    """In the office: open a sheet, fill in the form of an act, and send it."""
    page = client.get(f"/office/lots/{lot_id}/{sheet}")
    form = form_of(page, f"/office/lots/{lot_id}/{act}")
    name = act.partition("/")[0]
    form |= {f"{name}-{key}": value for key, value in typed.items()}
    return client.post(f"/office/lots/{lot_id}/{act}", data=form)


@dataclass
class _FormReader(HTMLParser):
    action: str
    values: dict[str, str] = field(default_factory=dict)
    found: bool = False
    inside: bool = False
    select: str = ""
    textarea: str = ""

    def __post_init__(self) -> None:
        super().__init__()

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        had = dict(attrs)
        if tag == "form":
            self.inside = (had.get("action") or "").endswith(self.action)
            self.found |= self.inside
        if not self.inside:
            return
        name, value = had.get("name") or "", had.get("value") or ""
        if tag == "input" and name and (had.get("type") not in ("radio", "checkbox") or "checked" in had):
            self.values[name] = value
        elif tag == "select":
            self.select = name
            self.values[name] = ""
        elif tag == "option" and self.select and "selected" in had:
            self.values[self.select] = value
        elif tag == "textarea":
            self.textarea = name
            self.values[name] = ""

    def handle_data(self, data: str) -> None:
        if self.inside and self.textarea:
            # A browser drops the line break that stands right behind the opening tag.
            first = not self.values[self.textarea]
            self.values[self.textarea] += data.removeprefix("\r").removeprefix("\n") if first else data

    def handle_endtag(self, tag: str) -> None:
        if tag == "form":
            self.inside = False
        elif tag == "select":
            self.select = ""
        elif tag == "textarea":
            self.textarea = ""


def large_form(texts: dict[str, str], name: str, content: bytes, filename: str) -> dict[str, str | bytes]:
    """A form with a large file, as `data` and `content_type` of a request.

    The test client itself would write it to a file that it leaves open.
    """
    file = FileStorage(io.BytesIO(content), filename)
    boundary, body = encode_multipart(texts | {name: file})
    return {"data": body, "content_type": f'multipart/form-data; boundary="{boundary}"'}
