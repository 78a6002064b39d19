"""What a builder's lists show: stages in groups, a page at a time, and the last place for the next lot."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from flask import request, url_for
from flask_babel import lazy_gettext as _
from werkzeug.wrappers import Response

from portal.acts import desk, package_lists, sheet
from portal.acts.parts import has
from portal.core.journey import MONEY_APART
from portal.store.reads import LotFilter
from portal.web.security import parts, who
from portal.web.shared.calendar import calendar_page
from portal.web.shared.pages import page


@dataclass(frozen=True, slots=True)
class Group:
    """Stages that are one thing to a builder."""

    key: str
    words: Any
    stages: tuple[str, ...]

    def count(self, counts: Mapping[str, int]) -> int:
        """How many lots stand in it."""
        return sum(counts.get(stage, 0) for stage in self.stages)


GROUPS = (
    Group("office", _("With the office"), ("asked", "to check", "approved")),
    Group("answer", _("To answer"), ("sent",)),
    Group("ended", _("Declined or lapsed"), ("declined", "lapsed")),
    Group("treatment", _("To be treated"), ("accepted", "booked", "on site")),
    Group("pay", _("To pay"), ("treated", "part paid")),
    Group("covered", _("Paid and covered"), ("paid", "in force")),
    Group("over", _("Expired or void"), ("expired", "void")),
)
#: The same for somebody who does not see money.
GROUPS_APART = (
    *(group for group in GROUPS if group.key not in ("pay", "covered", "over")),
    Group("treated", _("Treated"), (MONEY_APART,)),
    Group("covered", _("Covered"), ("in force",)),
    GROUPS[-1],
)


def groups() -> tuple[Group, ...]:
    """The groups of stages as this person may see them."""
    return GROUPS if has(who(), "money") else GROUPS_APART


def asked_for(args: Mapping[str, str], among: tuple[Group, ...] = GROUPS) -> LotFilter:
    """The filter that an address asks for; what makes no sense in it is left out."""
    stages = next((group.stages for group in among if group.key == args.get("stage")), ())
    return LotFilter(
        stages=stages,
        subdivision=args.get("subdivision", "").strip()[:200],
        text=args.get("text", "").strip()[:200],
        after=_place(args.get("after", "")),
    )


def _place(after: str) -> tuple[datetime, str] | None:
    moment, _tilde, lot_id = after.partition("~")
    try:
        when = datetime.fromisoformat(moment)
    except ValueError:
        return None
    return (when, lot_id) if when.tzinfo and lot_id else None


def lots() -> str:
    """A builder's lots, what changed last on top."""
    which, stage = asked_for(request.args, groups()), request.args.get("stage", "")
    found = desk.list_lots(parts(), who(), which)
    return page(
        "builder/lots.html",
        found=found,
        which=which,
        groups=groups(),
        stage=stage,
        subdivisions=[("", _("all")), *((name, name) for name in found.subdivisions)],
        more=older("builder.lots", found.more, stage) if found.more else None,
        packages=_open_packages() if not request.args else (),
        together=GROUPS[0].count(found.counts) > 1,
    )


def _open_packages() -> list[Any]:
    """The newest packages of which something is still with the office or to be answered."""
    rows = package_lists.list_packages(parts(), who(), limit=50)
    return [row for row in rows if row.with_office or row.to_answer][:5]


def older(endpoint: str, more: LotFilter, stage: str) -> str:
    """The address of the next page."""
    assert more.after is not None
    place = f"{more.after[0].isoformat()}~{more.after[1]}"
    typed: dict[str, Any] = {"stage": stage, "subdivision": more.subdivision, "text": more.text}
    return url_for(endpoint, after=place, **{key: value for key, value in typed.items() if value})


def last_place() -> dict[str, Any]:
    """Town, state, ZIP code and subdivision of the lot that changed last: the next is likely near it."""
    newest = desk.list_lots(parts(), who(), LotFilter()).rows
    if not newest:
        return {}
    place = sheet.sheet(parts(), who(), newest[0].id).place
    return {key: getattr(place, key) for key in ("subdivision", "town", "state", "postal_code")}


def calendar() -> str | Response:
    """The private address of the calendar of one's company's treatments."""
    return calendar_page("builder.calendar")
