"""An addition to a treated house, to be treated as well: asked for by whoever lives there."""

from __future__ import annotations

from flask import request
from flask_babel import gettext as _
from werkzeug.wrappers import Response as AnyResponse

from portal.acts import adding, covering
from portal.core.errors import BadInput, Refused, TooManyTries
from portal.web.security import address, parts
from portal.web.shared import addition_form
from portal.web.shared.pages import beside, fresh_once_key, page, summary, told

Answer = AnyResponse | str | tuple[str, int] | tuple[str, int, dict[str, str]]


def ask(token: str) -> Answer:
    """The form; sent, its number."""
    if request.method != "POST":
        return _form(token, {})
    try:
        typed = addition_form.read()
        number = adding.ask_by_link(parts(), token, typed, address(), request.form.get("once_key", ""))
    except BadInput as bad:
        return _form(token, beside(bad)), 422
    except Refused as refused:
        return _form(token, {}, told(refused.says)), 409
    except TooManyTries as error:
        minutes = -(-error.wait_seconds // 60)
        sentence = _("Asked too often. Wait %(minutes)s minutes, or call the office.", minutes=minutes)
        return _form(token, {}, sentence), 429, {"Retry-After": str(error.wait_seconds)}
    return page("homeowner/addition_asked.html", number=number, warranty=covering.by_link(parts(), token),
                token=token, email=typed.email.strip())  # fmt: skip


def _form(token: str, errors: dict[str, list[str]], sentence: str = "") -> str:
    return page(
        "homeowner/addition.html", warranty=covering.by_link(parts(), token), token=token, errors=errors,
        sentence=sentence, typed=addition_form.typed(), summary=summary(errors),
        once=request.form.get("once_key") or fresh_once_key(),
    )  # fmt: skip
