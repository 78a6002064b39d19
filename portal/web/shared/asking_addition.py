"""The page on which a builder, or the office for somebody, asks for an addition to a treated lot."""

from __future__ import annotations

from flask import flash, redirect, request, url_for
from flask_babel import gettext as _
from werkzeug.wrappers import Response as AnyResponse

from portal.acts import adding, sheet
from portal.core.errors import BadInput, Refused
from portal.web.security import parts, who
from portal.web.shared import addition_form
from portal.web.shared.pages import beside, fresh_once_key, page, summary, told

Answer = AnyResponse | str | tuple[str, int]


def ask_addition(lot_id: str) -> Answer:
    """The form; sent, back to the lot."""
    if request.method != "POST":
        return _form(lot_id, {})
    once = request.form.get("once_key", "")
    try:
        number = adding.ask_of_lot(parts(), who(), lot_id, addition_form.read(), once)
    except BadInput as bad:
        return _form(lot_id, beside(bad)), 422
    except Refused as refused:
        return _form(lot_id, {}, told(refused.says)), 409
    flash(_("Asked for under the number %(number)s.", number=number))
    return redirect(url_for(f"{who().kind}.lot", lot_id=lot_id), 303)


def _form(lot_id: str, errors: dict[str, list[str]], sentence: str = "") -> str:
    typed = addition_form.typed()
    if request.method != "POST" and who().kind == "builder":
        typed |= {"name": who().name, "email": who().email}
    return page(
        "shared/ask_addition.html", lot=sheet.sheet(parts(), who(), lot_id), errors=errors, typed=typed,
        sentence=sentence, summary=summary(errors), back=url_for(f"{who().kind}.lot", lot_id=lot_id),
        once=request.form.get("once_key") or fresh_once_key(),
    )  # fmt: skip
