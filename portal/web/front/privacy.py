"""What is kept of people: the page for everybody, and their own data for whoever is signed in."""

from __future__ import annotations

from flask import Response, redirect, url_for
from werkzeug.wrappers import Response as AnyResponse

from portal.acts import own_data, removing
from portal.web.security import parts, who_or_none
from portal.web.shared.data_answers import json_file
from portal.web.shared.pages import page


def privacy() -> str:
    """What is kept of whom, why, and until when."""
    person = who_or_none()
    return page(
        "front/privacy.html", rows=removing.kept(parts()), signed_in=person is not None,
        office=person is not None and person.kind == "office",
    )  # fmt: skip


def my_data() -> Response | AnyResponse:
    """All that is kept of whoever is signed in, as a file."""
    person = who_or_none()
    if person is None:
        return redirect(url_for("front.sign_in", next=url_for("front.my_data")))
    return json_file("my-data.json", own_data.data_of_person(parts(), person))
