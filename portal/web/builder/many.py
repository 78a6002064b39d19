"""Many lots at once: send a sheet or paste it, name its columns, look at every row, ask, and see it done."""

from __future__ import annotations

from pathlib import PurePosixPath
from typing import Any

from flask import Response, flash, make_response, redirect, request, url_for
from flask_babel import gettext as _

from portal.acts import many, many_entered
from portal.core.errors import BadInput, Refused
from portal.core.sheets.columns import BY_KEY, COLUMNS, FILLABLE
from portal.core.sheets.written import csv_file
from portal.web.builder import many_rows
from portal.web.builder.looking import Answer
from portal.web.security import parts, who
from portal.web.shared.pages import beside, fresh_once_key, page, summary, told
from portal.web.shared.words import FOUNDATIONS, SIDING

#: How many chunks are entered before a page that waits for the end is shown, and how soon it comes again.
CHUNKS, SECONDS = 4, 2


def begin() -> Answer:
    """Send a file or paste rows; below, the last lists."""
    errors: dict[str, list[str]] = {}
    if request.method == "POST":
        try:
            return redirect(_address(_read()), 303)
        except BadInput as bad:
            errors = beside(bad)
    return page(
        "builder/many.html", errors=errors, problems=summary(errors), typed=request.form,
        once_key=request.form.get("once_key") or fresh_once_key(),
        lists=[many_rows.of_list(one, _address(one.id)) for one in many.newest(parts(), who())],
    ), 422 if errors else 200  # fmt: skip


def _read() -> str:
    sent, pasted = request.files.get("file"), request.form.get("pasted", "")
    named = sent is not None and bool(sent.filename)
    if named and pasted.strip():
        raise BadInput([many_rows.BOTH])
    data = sent.read() if sent is not None and named else pasted.encode(errors="replace")
    name = request.form.get("name", "").strip() or _("Pasted rows")
    if sent is not None and named and not request.form.get("name", "").strip():
        name = _bare(sent.filename or "")
    try:
        return many.read(parts(), who(), name, data, request.form.get("once_key", ""))
    except BadInput as bad:
        raise (bad if named else many_rows.at_pasted(bad)) from None


def _bare(filename: str) -> str:
    """A file's own name, without folders and ending, as far as it can be printed."""
    stem = PurePosixPath(filename.replace("\\", "/")).stem
    return "".join(c for c in stem if c.isprintable())[:200].strip() or _("Pasted rows")


def columns() -> str:
    """What belongs in each of our columns, and by what other names it is known."""
    return page("builder/many_columns.html", columns=COLUMNS)


def template() -> Response:
    """An empty sheet: our columns' names, and no row that somebody would have to take out again."""
    names = [str(column.label) for column in COLUMNS if column.key not in ("address", "mirrored")]
    return _csv([names], "lots.csv")


def names(list_id: str) -> Answer:
    """Say what each column is."""
    found = many.samples(parts(), who(), list_id)
    typed = list(found.list.naming)
    fill = {key: found.list.fill.get(key, "") for key in FILLABLE}
    errors: dict[str, list[str]] = {}
    if request.method == "POST":
        typed = [request.form.get(f"column-{number}", "") for number in range(len(typed))]
        fill = {key: request.form.get(f"fill-{key}", "") for key in FILLABLE}
        try:
            many.name_columns(parts(), who(), list_id, typed, fill)
            return redirect(_address(list_id), 303)
        except BadInput as bad:
            errors = beside(bad)
    fields = {f"column-{n}" for n in range(len(typed))} | {f"fill-{key}" for key in FILLABLE}
    return page(
        "builder/many_names.html", list=found.list, headings=many_rows.headings(found, typed),
        choices=[("", _("not used")), *((one.key, told(one.label)) for one in COLUMNS)],
        fill=[(BY_KEY[key], fill[key]) for key in FILLABLE],
        choices_for_all={"foundation": FOUNDATIONS, "siding": SIDING},
        errors=errors, problems=[(at if at in fields else "", says) for at, says in summary(errors)],
    ), 422 if errors else 200  # fmt: skip


def check(list_id: str) -> Answer:
    """Check every row anew."""
    many.check_again(parts(), who(), list_id)
    flash(_("Every row was checked again."))
    return redirect(_address(list_id), 303)


def enter(list_id: str) -> Answer:
    """Ask for the prices of all good rows."""
    try:
        many_entered.enter(parts(), who(), list_id)
    except Refused as refused:
        flash(told(refused.says), "error")
    return redirect(_address(list_id), 303)


def look(list_id: str) -> Answer:
    """A list where it stands: every row with its verdict; while it is entered, how far that has come.

    Looking at it goes on with the entering, which was asked for, unless the page was asked to hold still.
    """
    show = request.args.get("show", "")
    show = show if show in many.SHOWN else ""
    offset = request.args.get("from", 0, type=int)
    found = many.look(parts(), who(), list_id, show, max(0, offset))
    if found.list.state == "naming":
        return redirect(url_for("builder.many_names", list_id=list_id), 303)
    still = "still" in request.args
    if found.list.state == "entering" and not still:
        many_entered.go_on_for(parts(), who(), list_id, CHUNKS)
        found = many.look(parts(), who(), list_id, show, max(0, offset))
    shown = page(
        "builder/many_list.html", list=found.list, rows=many_rows.rows(found), show=show,
        figures=many_rows.figures(found.list), kinds=many_rows.kinds(found.list),
        still=still, newer=_part(list_id, show, offset - many.PAGE) if offset else None,
        older=_part(list_id, show, found.more) if found.more else None,
        package=many_rows.package_address(found.list),
    )  # fmt: skip
    answer = make_response(shown)
    if found.list.state == "entering" and not still:
        # Not in the page: whoever does not want it to come again by itself follows a link that leaves it out.
        answer.headers["Refresh"] = str(SECONDS)
    return answer


def to_mend(list_id: str) -> Response:
    """The rows that came back: their own columns in their own order, and what to mend in the last."""
    return _csv(*many_rows.returned(many.returned(parts(), who(), list_id)))


def _csv(rows: list[list[str]], name: str, delimiter: str = ",") -> Response:
    response = Response(csv_file(rows, delimiter), mimetype="text/csv")
    response.headers["Content-Disposition"] = f'attachment; filename="{name}"'
    return response


def _address(list_id: str) -> str:
    return url_for("builder.many_look", list_id=list_id)


def _part(list_id: str, show: str, offset: int) -> str:
    typed: dict[str, Any] = {"show": show, "from": max(0, offset)}
    return url_for("builder.many_look", list_id=list_id, **{key: one for key, one in typed.items() if one})
