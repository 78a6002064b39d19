"""A bank's list: sent, its columns named, its lines looked at, and one decided on after the other."""

from __future__ import annotations

from pathlib import PurePosixPath
from typing import Any

from flask import abort, flash, redirect, request, url_for
from flask_babel import gettext as _
from flask_babel import lazy_gettext
from werkzeug.wrappers import Response

from portal.acts import accounts, bank_lines, banking
from portal.core.bank.columns import COLUMNS
from portal.core.bank.lines import Reading
from portal.core.errors import BadInput
from portal.web.office.payment_forms import ReceiveForm
from portal.web.security import parts, who
from portal.web.shared.pages import beside, fresh_once_key, page, summary, told

Answer = str | Response | tuple[str, int]

DAYS = [
    ("month", lazy_gettext("Month first: 3/9/2027")), ("year", lazy_gettext("Year first: 2027-03-09")),
    ("day", lazy_gettext("Day first: 9.3.2027")),
]  # fmt: skip
DECIMALS = [("point", lazy_gettext("A point: 1,250.00")), ("comma", lazy_gettext("A comma: 1.250,00"))]


def lists() -> Answer:
    """Send a list; below, the last ones."""
    errors: dict[str, list[str]] = {}
    if request.method == "POST":
        try:
            list_id = banking.read(parts(), who(), *_sent(), request.form.get("once_key", ""))
            return redirect(url_for("office.bank_columns", bank_list_id=list_id), 303)
        except BadInput as bad:
            errors = beside(bad)
    return page(
        "office/bank.html", errors=errors, problems=summary(errors), lists=banking.newest(parts(), who()),
        once_key=request.form.get("once_key") or fresh_once_key(), today=parts().today(),
    ), 422 if errors else 200  # fmt: skip


def _sent() -> tuple[str, bytes]:
    sent = request.files.get("file")
    if sent is None or not sent.filename:
        return "", b""
    stem = PurePosixPath(sent.filename.replace("\\", "/")).stem
    return "".join(c for c in stem if c.isprintable())[:200].strip(), sent.read()


def columns(bank_list_id: str) -> Answer:
    """Say what each column is, and how days and amounts are written; the first lines show how it reads."""
    errors: dict[str, list[str]] = {}
    reading = None
    if request.method == "POST":
        reading = _reading(bank_list_id)
        if "look" not in request.form:
            try:
                banking.name_columns(
                    parts(), who(), bank_list_id, reading.naming, reading.days, reading.decimal
                )  # fmt: skip
                return redirect(url_for("office.bank_list", bank_list_id=bank_list_id), 303)
            except BadInput as bad:
                errors = beside(bad)
    found = banking.preview(parts(), who(), bank_list_id, reading)
    if found.list.state != "naming":
        return redirect(url_for("office.bank_list", bank_list_id=bank_list_id), 303)
    reading = reading or Reading(found.list.naming, found.list.days, found.list.decimal)
    return page(
        "office/bank_columns.html", found=found, reading=reading, errors=errors, problems=summary(errors),
        choices=[("", _("not used")), *((one.key, told(one.label)) for one in COLUMNS)], days=DAYS,
        decimals=DECIMALS, today=parts().today(),
    ), 422 if errors else 200  # fmt: skip


def _reading(list_id: str) -> Reading:
    count = len(banking.preview(parts(), who(), list_id).list.headers)
    naming = [request.form.get(f"column-{number}", "") for number in range(count)]
    return Reading(naming, request.form.get("days", ""), request.form.get("decimal", ""))


def drop(bank_list_id: str) -> Response:
    """Throw a list away that was read wrong."""
    banking.drop(parts(), who(), bank_list_id)
    flash(_("The list is thrown away. It can be sent again."))
    return redirect(url_for("office.bank"), 303)


def look(bank_list_id: str) -> Answer:
    """The lines of a list, with what each could be."""
    show, offset = request.args.get("show", ""), request.args.get("from", "0")
    if show not in bank_lines.SHOWN or not offset.isdecimal() or len(offset) > 6:
        abort(404)
    found = bank_lines.look(parts(), who(), bank_list_id, show, int(offset))
    if found.list.state == "naming":
        return redirect(url_for("office.bank_columns", bank_list_id=bank_list_id), 303)
    return page("office/bank_list.html", found=found, list=found.list, show=show, offset=int(offset),
                kinds=_kinds(found.list), once=fresh_once_key(), today=parts().today())  # fmt: skip


def _kinds(of: banking.BankListView) -> list[tuple[str, Any, int]]:
    words = {
        "": _("to decide"), "taken": _("recorded"), "aside": _("set aside"), "out": _("left the account"),
    }  # fmt: skip
    return [(show, words[show], of.count(*states)) for show, states in bank_lines.SHOWN.items()]


def line(line_id: str) -> Answer:
    """One line: choose the builder and what it pays, or set it aside."""
    found = bank_lines.line(parts(), who(), line_id)
    company_id = _id("builder")
    form = _form(found)
    key = request.form.get("once_key", "")
    if request.method == "POST" and company_id and form.validate():
        try:
            bank_lines.take(parts(), who(), line_id, company_id, form.entered(), key)
        except BadInput as bad:
            form.take(bad)
        else:
            flash(_("The payment is recorded."))
            return redirect(url_for("office.bank_list", bank_list_id=found.list_id), 303)
    account = accounts.account(parts(), who(), company_id, found.day) if company_id else None
    shown = page(
        "office/bank_line.html", line=found, form=form, account=account, once=key or fresh_once_key(),
        builders=accounts.accounts(parts(), who()), today=parts().today(),
    )  # fmt: skip
    return shown, 422 if request.method == "POST" else 200


def _id(name: str) -> str:
    """An id that was sent; what can be none is not looked for, PostgreSQL breaks on some of it."""
    sent = request.values.get(name, "")
    return sent if sent.isalnum() and sent.isascii() else ""


def _form(found: bank_lines.LineView) -> ReceiveForm:
    """The form as sent, or as the line has it; amount and day are the line's whatever is sent."""
    if request.method == "POST":
        form = ReceiveForm.sent()
        form.read_parts()
    else:
        said = bank_lines.typed_for(found)
        form = ReceiveForm.blank(method=said.method, reference=said.reference, how="oldest")
    form.amount.data, form.received_on.data = str(found.amount), found.day
    return form


def known(line_id: str) -> Response:
    """A line is a payment that is recorded already."""
    found = bank_lines.line(parts(), who(), line_id)
    bank_lines.known_already(parts(), who(), line_id, _id("payment"))
    flash(_("The line is that payment: nothing is recorded twice."))
    return redirect(url_for("office.bank_list", bank_list_id=found.list_id), 303)


def aside(line_id: str) -> Answer:
    """Set a line aside."""
    found = bank_lines.line(parts(), who(), line_id)
    bank_lines.set_aside(parts(), who(), line_id, request.form.get("reason", ""))
    flash(_("The line is set aside."))
    return redirect(url_for("office.bank_list", bank_list_id=found.list_id), 303)


def back(line_id: str) -> Answer:
    """Take a line up again."""
    found = bank_lines.line(parts(), who(), line_id)
    bank_lines.take_up(parts(), who(), line_id)
    return redirect(url_for("office.bank_list", bank_list_id=found.list_id), 303)
