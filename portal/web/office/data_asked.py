"""What is kept of somebody who asks: found by their mail address, saved as a file."""

from __future__ import annotations

from flask import request
from werkzeug.wrappers import Response as AnyResponse

from portal.acts import data_asked as acts
from portal.core.errors import BadInput
from portal.web.security import parts, who
from portal.web.shared.data_answers import json_file
from portal.web.shared.pages import beside, page, summary

Answer = AnyResponse | str | tuple[str, int]


def data_asked() -> Answer:
    """The form; sent, the file."""
    if request.method == "GET":
        return _page()
    email = request.form.get("email", "")
    try:
        return json_file("kept.json", acts.data_of_address(parts(), who(), email))
    except BadInput as bad:
        return _page(email, beside(bad)), 422


def _page(email: str = "", errors: dict[str, list[str]] | None = None) -> str:
    return page("office/data_asked.html", email=email, errors=errors or {}, summary=summary(errors or {}))
