"""Every form of the portal, each field in turn with what belongs in none: refused or taken, never broken."""

from __future__ import annotations

import re
from collections.abc import Iterator
from html.parser import HTMLParser

import pytest
from flask.testing import FlaskClient

from tests.parts.house import House
from tests.web.visits import make_visits

pytestmark = [pytest.mark.long, pytest.mark.timeout(1500)]

SHEETS = ("takeoff", "quote", "treatment", "invoice", "warranty")
#: No text, no number, no day, no end; numbers that only Python reads; the edges of the calendar.
GARBAGE = (
    "\0", "%", "9" * 400, "1e999", "-1", "NaN", "2027-99-99", "9999-12-31", "0001-01-01", "x" * 5000, "٣",
    "½", "{read}", "1/0",
)  # fmt: skip
#: A takeoff's fields are many and alike: of so many every fifth is tried.
MANY = 40

OFFICE_PAGES = ("lots", "crew-days", "money", "warranties", "people", "payments", "bank")

Form = tuple[str, str, dict[str, str]]


class Forms(HTMLParser):
    """The forms of a page: where to, how, and the names in them with something in each."""

    def __init__(self, page: str, path: str) -> None:
        super().__init__()
        self.path = path
        self.found: list[Form] = []
        self.fields: dict[str, str] | None = None
        self.feed(page)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        """A form opens, or has one more field."""
        had = dict(attrs)
        if tag == "form":
            self.fields = {}
            self.found.append((had.get("action") or self.path, had.get("method") or "get", self.fields))
        elif tag in ("input", "select", "textarea", "button") and self.fields is not None and had.get("name"):
            self.fields.setdefault(str(had["name"]), had.get("value") or "")

    def handle_endtag(self, tag: str) -> None:
        """The form is over."""
        if tag == "form":
            self.fields = None


def pages(house: House) -> dict[str, list[str]]:
    """Who looks at which pages, lots at every stage among them."""
    lots = [house.asked(), house.to_check(), house.sent(), house.booked(), house.treated(), house.paid()]
    kinds = ("rates", "product", "crew", "terms", "firm")
    return {
        "nobody": ["/sign-in", "/forgot", "/warranty"],
        "builder": ["/lots", "/ask", "/papers"]
        + [f"/lots/{lot}/{sheet}" for lot in lots for sheet in (*SHEETS, "change", "ask-again")],
        "owner": [f"/office/{name}" for name in OFFICE_PAGES]
        + [f"/office/payments/builders/{house.builder.company_id}{part}" for part in ("", "/new")]
        + [f"/office/rates/{kind}" for kind in kinds]
        + [f"/office/lots/{lot}/{sheet}" for lot in lots for sheet in (*SHEETS, "correct")],
        "technician": ["/stops", *(f"/stops/{house.job(lot)}" for lot in lots[3:])],
    }  # fmt: skip


def forms(client: FlaskClient, paths: list[str]) -> Iterator[Form]:
    """Every form of these pages, each kind of it once; signing out would end the sweep."""
    seen = set()
    for path in paths:
        for action, method, fields in Forms(client.get(path).get_data(as_text=True), path).found:
            kind = re.sub(r"/[0-9a-z]{20,}", "/*", action), tuple(sorted(fields))
            if kind not in seen and not action.endswith("/sign-out"):
                seen.add(kind)
                yield action, method, fields


def test_no_form_breaks_whatever_stands_in_a_field(house: House) -> None:
    visits = make_visits(house)
    ways = {"get": "query_string", "post": "data"}
    broken, tried = [], 0
    for who, paths in pages(house).items():
        client = visits.by(None if who == "nobody" else getattr(house, who))
        for action, method, fields in list(forms(client, paths)):
            names = list(fields)[:: 5 if len(fields) > MANY else 1]
            for name, garbage in ((name, garbage) for name in names for garbage in GARBAGE):
                tried += 1
                typed = fields | ({"once_key": f"k{tried}"} if "once_key" in fields else {}) | {name: garbage}
                answer = client.open(action, method=method, **{ways[method]: typed})
                if answer.status_code >= 500:
                    broken.append(f"{who} {action} {name}={garbage[:20]!r}")

    assert tried > 2000
    assert not broken, "\n".join(broken)
