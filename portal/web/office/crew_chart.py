"""The schedule of crew days in the reader's words, for the drawing and for the tables beneath it."""

from __future__ import annotations

from datetime import date
from typing import Any

from flask import url_for
from flask_babel import gettext, ngettext
from markupsafe import Markup

from portal.acts.crew_schedule import CrewRow, DayLoad, Schedule, TechnicianLine
from portal.core.crewdays.checks import spelled
from portal.drawing.chart import Bar, Cell, Chart, HoursLine, chart_svg
from portal.web.shared.pages import reads, told


def _(text: str, **values: Any) -> str:
    """The sentence in the reader's language, as the text that the drawing is made of."""
    return str(gettext(text, **values))


WIDE, NARROW = 1120, 340


def charts(found: Schedule) -> tuple[Markup, Markup]:
    """The schedule drawn for a desk and for a phone."""
    last = reads().day(found.last)
    title = _("Crew days from %(first)s to %(last)s", first=reads().day(found.first), last=last)
    desc = _("Lots as rows, days as columns. The tables beneath tell the same.")
    drawn = []
    for width, ident in ((WIDE, "chart"), (NARROW, "chart-narrow")):
        svg = chart_svg(
            _chart(found, narrow=width == NARROW), title=title, desc=desc, width=width, ident=ident
        )
        # All text in it is escaped where it is drawn.
        drawn.append(Markup(svg))
    return drawn[0], drawn[1]


def _chart(found: Schedule, *, narrow: bool) -> Chart:
    return Chart(
        first=found.first, today=found.today,
        heads=tuple(_head(day, n, narrow) for n, day in enumerate(found.days)),
        rest=frozenset(d for d in found.days if d.weekday() > 4 or d in found.office_off),
        bars=tuple(_bar(found, row) for row in found.rows),
        lines=tuple(_line(line) for line in found.technicians),
        to_book=_("to book"), hours=_("Hours filled, of those at work"),
    )  # fmt: skip


def _head(day: date, n: int, narrow: bool) -> tuple[str, str]:
    """Over each day its letter and number, on a phone the number; over each Monday the month."""
    weekday, _comma, rest = reads().weekday(day).partition(", ")
    month = rest.partition(" ")[0] if n == 0 or day.weekday() == 0 else ""
    return (f"{month} {day.year}" if n == 0 else month), str(
        day.day
    ) if narrow else f"{weekday[:1]} {day.day}"


def duration(minutes: int) -> str:
    """Minutes as people say them."""
    return told(spelled(minutes))


def brief(minutes: int) -> str:
    """Minutes as they stand in a narrow column: 6:20."""
    return f"{minutes // 60}:{minutes % 60:02}"


def _bar(found: Schedule, row: CrewRow) -> Bar:
    done, short = row.state in ("treated", "signed off"), "".join(w[:1] for w in row.technician.split())
    data = (
        ("data-lot", f"{row.lot_id}.{row.version}"), ("data-name", row.lot),
        ("data-day", row.day.isoformat() if row.day else ""), ("data-technician", row.technician_id or ""),
        ("data-opens", row.framing_done.isoformat() if row.framing_done else ""),
    )  # fmt: skip
    return Bar(
        name=row.lot, about=_("%(street)s, %(hours)s", street=f"{row.house_number} {row.street}",
                              hours=duration(row.minutes)),
        begins=row.framing_done, siding=row.siding_starts, ends=row.insulation_starts, stop=row.day,
        letters=short, says=says(row), wrong=bool(trouble(row, found)), done=done,
        url=url_for("office.lot", lot_id=row.lot_id, sheet="treatment") if done
        else url_for("office.crew_days", begin=found.first.isoformat(), lot=row.lot_id, _anchor="book"),
        data=() if done else data,
    )  # fmt: skip


def says(row: CrewRow) -> str:
    """A stop in words."""
    if row.day is None:
        return _("%(lot)s: to be booked", lot=row.lot)
    where = {"lot": row.lot, "day": reads().day(row.day, "full"), "name": row.technician}
    if row.state in ("treated", "signed off"):
        return _("%(lot)s: treated, %(day)s, %(name)s", **where)
    return _("%(lot)s: booked for %(day)s, %(name)s. Move it", **where)


def trouble(row: CrewRow, found: Schedule) -> str:
    """What is wrong with a stop as it is booked, or with a window that nobody can book in any more."""
    window = row.window
    if row.state in ("treated", "signed off"):
        return ""
    if row.day is None:
        if window.shut(found.today):
            return _("its window is shut")
        return _("its window never opens") if window.never else ""
    if row.day < found.today:
        return _("its day is over")
    if window.too_early(row.day):
        return _("before framing is done")
    return _("insulation has started by then") if window.shut(row.day) else ""


def _line(line: TechnicianLine) -> HoursLine:
    return HoursLine(
        line.name,
        tuple(_cell(day) for day in line.days),
        (("data-technician", line.id), ("data-name", line.name)),
    )


def _cell(day: DayLoad) -> Cell:
    letters = brief(day.filled) if day.filled else ""
    share = day.filled / day.at_work if day.at_work else float(bool(day.filled))
    return Cell(share, letters, day.off, bool(day.over))


def _load(technician_id: str, day: DayLoad) -> Any:
    """How many stops, and the way to what is loaded for them."""
    if not day.stops:
        return ""
    return {"text": ngettext("%(num)s: load sheet", "%(num)s: load sheet", day.stops),
            "url": url_for("office.load", technician_id=technician_id, day=day.day.isoformat())}  # fmt: skip


def hour_rows(found: Schedule) -> list[list[Any]]:
    """The technicians' days on which something is booked or nobody is there, as rows of a table."""
    rows = []
    for line in found.technicians:
        for day in line.days:
            if not day.filled and not day.off:
                continue
            said = _("off: %(words)s", words=day.words) if day.words else _("off")
            at_work = said if day.off else duration(day.at_work)
            over = _("%(over)s too many", over=duration(day.over)) if day.over else ""
            rows.append([
                line.name, reads().weekday(day.day), _load(line.id, day), duration(day.filled), at_work, over
            ])  # fmt: skip
    return rows
