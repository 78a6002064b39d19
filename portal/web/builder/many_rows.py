"""Lists of lots and their rows as people read them: verdicts, reasons at their column, houses."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any
from urllib.parse import urlsplit

from flask import url_for
from flask_babel import gettext as _
from flask_babel import lazy_gettext, ngettext
from markupsafe import Markup

from portal.acts.many import ListView, Looked, Returned, RowView
from portal.core.errors import BadInput, Problem
from portal.core.jsontext import quoted
from portal.core.sheets.columns import BY_KEY, REASON
from portal.core.sheets.text import WHOLE
from portal.core.words import say
from portal.web.security import parts
from portal.web.shared.pages import reads, told

BOTH = Problem("pasted", say("There is a file, and there are pasted rows. Send one of the two."))

#: A row's verdict: its words, and the mark it is drawn with.
VERDICTS = {
    "good": (lazy_gettext("to ask for"), "waits"), "bad": (lazy_gettext("to mend"), "needs"),
    "before": (lazy_gettext("entered before"), "stopped"), "entered": (lazy_gettext("asked for"), "done"),
}  # fmt: skip
#: A list's state, likewise.
STATES = {
    "naming": (lazy_gettext("columns to name"), "needs"), "looked": (lazy_gettext("to look at"), "needs"),
    "entering": (lazy_gettext("being entered"), "waits"), "done": (lazy_gettext("asked for"), "done"),
}  # fmt: skip


def at_pasted(bad: BadInput) -> BadInput:
    """What is wrong with the sheet, told at the field it was pasted into."""
    return BadInput(Problem("pasted" if one.at == WHOLE else one.at, one.says) for one in bad.problems)


@dataclass(frozen=True, slots=True)
class Heading:
    """One of their columns: its field, what it is called, some of its cells, and which of ours it is."""

    field: str
    header: str
    cells: str
    column: str


def headings(found: Looked, typed: Sequence[str]) -> list[Heading]:
    """Their columns, to be named."""
    return [
        Heading(
            f"column-{n}", header or _("Column %(number)s, without a name", number=n + 1), _cells(found, n),
            column,
        )
        for n, (header, column) in enumerate(zip(found.list.headers, typed, strict=True))
    ]  # fmt: skip


def _cells(found: Looked, number: int) -> str:
    cells = [row.cells[number] for row in found.rows if number < len(row.cells) and row.cells[number].strip()]
    return ", ".join(quoted(cell[:40]) for cell in dict.fromkeys(cells))


@dataclass(frozen=True, slots=True)
class ShownRow:
    """A row as the list's page shows it."""

    line: int
    lot: str
    where: str
    house: str
    words: Any
    mark: str
    reasons: list[str]
    feet: str
    price: str
    lot_url: str


def rows(found: Looked) -> list[ShownRow]:
    """The rows of a page."""
    return [_row(row, found.list) for row in found.rows]


def _row(row: RowView, of: ListView) -> ShownRow:
    texts = row.said.get("texts", {})
    words, mark = VERDICTS.get(row.state, (row.state, "waits"))
    address = " ".join(one for one in (texts.get("house_number", ""), texts.get("street", "")) if one)
    where = ", ".join(one for one in (texts.get("subdivision", ""), texts.get("town", "")) if one)
    said = [reason(problem, of.headers, of.naming) for problem in row.problems]
    if row.same_as is not None and not said:
        said = [_("The same as line %(line)s.", line=row.same_as)]
    priced = row.state in ("good", "entered")
    return ShownRow(
        row.line, ", ".join(one for one in (texts.get("lot", ""), address) if one) or _("no lot"), where,
        _house(row.said), words, mark, said, row.feet if priced else "", row.price if priced else "",
        url_for("builder.lot", lot_id=row.lot_id) if row.lot_id else "",
    )  # fmt: skip


def _house(said: Any) -> str:
    """A plan's name, or the feet as they were read: 2 × (168 ft + 128 ft)."""
    if said.get("plan"):
        name = str(said["plan"])[:60]
        return str(_("%(plan)s, mirrored", plan=name)) if said.get("mirrored") else name
    if not said.get("house"):
        return ""
    (level,) = said["house"]["levels"]
    outline, interior = level["outline"], level["interior"]
    if outline["by"] == "measured":
        walls = outline["length"]
    else:
        (side,) = outline["rectangles"]
        walls = _("%(width)s by %(depth)s", width=side["width"], depth=side["depth"])
    within = interior.get("length")
    feet = (
        _("outside %(walls)s, inside %(within)s", walls=walls, within=within) if within
        else _("outside %(walls)s, inside estimated", walls=walls)
    )  # fmt: skip
    count = int(level["repeat"])
    return str(ngettext("%(feet)s", "%(num)s stories, each %(feet)s", count, feet=feet))


def reason(problem: Problem, headers: Sequence[str], naming: Sequence[str]) -> str:
    """What is wrong, behind the name of the column: theirs where they have one, else ours."""
    if not problem.at:
        return told(problem.says)
    header = next((one for one, key in zip(headers, naming, strict=True) if key == problem.at), "")
    column = header.strip() or (told(BY_KEY[problem.at].label) if problem.at in BY_KEY else problem.at)
    return str(_("%(column)s: %(says)s", column=column[:60], says=told(problem.says)))


def figures(of: ListView) -> list[dict[str, Any]]:
    """The four that matter."""
    asked = _("Asked for") if of.state == "done" else _("To ask for")
    back = _("Came back") if of.state == "done" else _("To mend")
    read, bad = reads(), of.count("bad")
    return [
        {"label": asked, "value": read.number(of.asked, 0), "unit": ngettext("lot", "lots", of.asked)},
        {"label": back, "value": read.number(bad, 0), "unit": ngettext("row", "rows", bad)},
        {"label": _("Lineal feet"), "value": read.number(of.feet), "unit": _("ft")},
        {"label": _("Price, lot by lot"), "value": read.money(of.price), "unit": ""},
    ]


def kinds(of: ListView) -> list[tuple[str, Any, int]]:
    """What can be looked at alone: its key, its words, how many."""
    found = [("good", "good", VERDICTS["good"][0]), ("entered", "entered", VERDICTS["entered"][0]),
             ("mend", "bad", VERDICTS["bad"][0]), ("before", "before", VERDICTS["before"][0])]  # fmt: skip
    counted = [(key, words, of.count(state)) for key, state, words in found if of.count(state)]
    return [("", _("all"), of.rows), *counted]


def of_list(one: ListView, url: str) -> list[Any]:
    """A list as a row of the last lists: its name, when and by whom, where it stands, how many."""
    words, mark = STATES[one.state]
    state = Markup('<span class="state state--{}">{}</span>').format(mark, words)
    sent = _("%(when)s, %(who)s", when=reads().moment(one.made_at), who=one.made_by)
    numbers = [reads().number(count, 0) for count in (one.rows, one.count("entered"), one.count("bad"))]
    return [{"text": one.name, "url": url}, sent, state, *numbers]


def package_address(of: ListView) -> str:
    """The page of the package that the lots are in, if they are in one."""
    return urlsplit(parts().links.builder_package(of.package_id)).path if of.package_id else ""


def returned(found: Returned) -> tuple[list[list[str]], str, str]:
    """The rows of the file that goes back, what it is called, and what parts its cells.

    What was pasted had tabs; a file with tabs in it opens as one column. What was said for all rows stands in
    each, or the mended file would no longer say it.
    """
    width = max(len(found.headers), *(len(row.cells) for row in found.rows))
    fill = {key: text for key, text in found.fill.items() if text}
    added = [key for key in fill if key not in found.naming]
    labels, held = [told(BY_KEY[key].label) for key in added], [fill[key] for key in added]
    head = [*found.headers, *[""] * (width - len(found.headers)), *labels, REASON]
    body = [
        [*_filled(row.cells, found.naming, fill), *[""] * (width - len(row.cells)), *held,
         " ".join(_ended(reason(one, found.headers, found.naming)) for one in row.problems)]
        for row in found.rows
    ]  # fmt: skip
    return [head, *body], "rows-to-mend.csv", "," if found.delimiter == "\t" else found.delimiter


def _filled(cells: Sequence[str], naming: Sequence[str], fill: Mapping[str, str]) -> list[str]:
    named = [*naming, *[""] * len(cells)]
    return [cell if cell.strip() else fill.get(key, cell) for cell, key in zip(cells, named, strict=False)]


def _ended(sentence: str) -> str:
    return sentence if sentence.endswith((".", "?")) else f"{sentence}."
