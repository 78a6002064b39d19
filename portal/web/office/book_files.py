"""The books as files: CSV of entries, trial balance and tax owed, and a plain-text double-entry file."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from decimal import Decimal

from flask import Response
from flask_babel import gettext as _

from portal.acts import books as acts
from portal.core.sheets.written import csv_file
from portal.web.office.books import asked_day
from portal.web.security import parts, who


def _file(name: str, content: bytes, mimetype: str = "text/csv") -> Response:
    response = Response(content, mimetype=mimetype)
    response.headers["Content-Disposition"] = f'attachment; filename="{name}"'
    return response


def _csv(name: str, head: Sequence[str], rows: list[list[str]]) -> Response:
    return _file(f"{name}.csv", csv_file([list(head), *rows]))


def _side(amount: Decimal) -> str:
    # Debit and credit stand apart, so that no amount needs a minus, which a cell may not begin with.
    return f"{amount}" if amount > 0 else ""


def entries_csv() -> Response:
    """A line a posting, in a span of days."""
    first, last = acts.span(asked_day("since"), asked_day("until"), parts().today())
    rows = [
        [str(row.entry), str(row.on), str(row.happened_on), row.event, row.subject, row.company, row.account,
         _side(row.amount), _side(-row.amount), row.invoice or "", row.by, row.at.isoformat()]
        for row in acts.entries(parts(), who(), first, last)
    ]  # fmt: skip
    head = (_("Entry"), _("Counts for"), _("Happened on"), _("Event"), _("Paper"), _("Builder"), _("Account"),
            _("Debit"), _("Credit"), _("Invoice"), _("Entered by"), _("Entered at"))  # fmt: skip
    return _csv(f"entries-{first}-{last}", head, rows)


def balance_csv() -> Response:
    """The trial balance on a day."""
    trial = acts.look(parts(), who(), asked_day("on")).trial
    rows = [[line.account, _side(line.debit), _side(line.credit)] for line in trial.lines]
    rows.append([_("Total"), str(trial.debit), str(trial.credit)])
    return _csv(f"trial-balance-{trial.day}", (_("Account"), _("Debit"), _("Credit")), rows)


def tax_csv() -> Response:
    """Tax owed by jurisdiction in a span of days."""
    since, until, found = acts.tax_owed(parts(), who(), asked_day("since"), asked_day("until"))
    rows = [
        [row.account, *(str(value) for value in (row.before, row.billed, row.taken_back, row.after))]
        for row in found
    ]
    head = (_("Account"), _("Owed before"), _("Billed"), _("Taken back"), _("Owed after"))
    return _csv(f"tax-owed-{since}-{until}", head, rows)


def plain_file() -> Response:
    """All entries through a day as a plain-text double-entry file."""
    through: date = asked_day("on") or parts().today()
    content = acts.plain_file(parts(), who(), through).encode()
    return _file(f"books-through-{through}.txt", content, "text/plain; charset=utf-8")
