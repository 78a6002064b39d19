"""The warranty register: searched, filtered, counted, and taken out as CSV."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from datetime import date
from typing import Any

from flask import Response, abort, request, stream_with_context, url_for
from flask_babel import gettext as _

from portal.acts import adding, registering, renewal_desk, troubles
from portal.acts.registering import RegisterFilter, RegisterRow
from portal.core.journey import WARRANTY
from portal.core.sheets.written import MARK, csv_text
from portal.web.security import parts, who
from portal.web.shared.pages import page
from portal.web.shared.words import WARRANTIES

#: What may be typed to filter by, beside builder, year and state, which are chosen.
TYPED = ("text", "subdivision", "technician", "container", "registration")


def register() -> str:
    """The register, 100 a page, what was treated last on top."""
    which = asked()
    found = registering.register(parts(), who(), which)
    older = None
    if found.more and found.more.after:
        day, warranty_id = found.more.after
        older = address(which, after=f"{day.isoformat()}~{warranty_id}")
    return page(
        "office/register.html", trouble_open=troubles.count_open(parts(), who()),
        additions_asked=adding.count_asked(parts(), who()),
        renewals_open=renewal_desk.count_open(parts(), who()),
        found=found, which=which, states=tuple(WARRANTY), older=older,
        newest=address(which) if which.after else None, address=address,
        csv_url=address(which, "office.register_csv"),
    )  # fmt: skip


def register_csv() -> Response:
    """All that fits, as a file, sent while it is read."""
    rows = registering.register_rows(parts(), who(), asked())
    answer = Response(stream_with_context(_written(rows)), mimetype="text/csv")
    answer.headers["Content-Disposition"] = 'attachment; filename="warranty-register.csv"'
    return answer


def asked() -> RegisterFilter:
    """What the address asks for. What no page of ours links to is not there."""
    typed: dict[str, Any] = {name: request.args.get(name, "").strip() for name in TYPED}
    year, state = request.args.get("year", ""), request.args.get("state", "")
    whole = int(year) if year.isascii() and year.isdecimal() and 1 <= int(year[:5]) <= 9999 else None
    return RegisterFilter(
        **typed, company_id=request.args.get("builder", ""), year=whole,
        state=state if state in WARRANTY else "", after=_after(request.args.get("after", "")),
    )  # fmt: skip


def _after(typed: str) -> tuple[date, str] | None:
    day, _tilde, warranty_id = typed.partition("~")
    if not typed:
        return None
    try:
        return date.fromisoformat(day), warranty_id
    except ValueError:
        abort(404)


def address(which: RegisterFilter, endpoint: str = "office.register", **changes: Any) -> str:
    """The address of what is looked at, with changes: from its first page, unless `after` says which."""
    after = changes.pop("after", None)
    which = replace(which, **changes)
    asks: dict[str, Any] = {name: getattr(which, name) for name in (*TYPED, "year", "state")}
    asks |= {"builder": which.company_id, "after": after}
    return url_for(endpoint, **{name: value for name, value in asks.items() if value})


def _written(rows: Iterator[RegisterRow]) -> Iterator[str]:
    yield MARK + csv_text([[
        _("Warranty number"), _("State"), _("Begins"), _("Ends"), _("Treated on"), _("Builder"),
        _("Subdivision"), _("Lot"), _("House number"), _("Street"), _("Town"), _("State of the address"),
        _("ZIP code"), _("Technician"), _("Certificate number"), _("Product lot"),
        _("EPA registration number"),
    ]])  # fmt: skip
    for row in rows:
        yield csv_text([_cells(row)])


def _cells(row: RegisterRow) -> list[str]:
    days = (day.isoformat() if day else "" for day in (row.begins_on, row.ends_on, row.treated_on))
    return [
        row.number, str(WARRANTIES[row.state]), *days, row.company, row.subdivision, row.lot,
        row.house_number, row.street, row.town, row.area, row.postal_code, row.technician, row.certificate,
        row.container_lot, row.registration,
    ]  # fmt: skip
