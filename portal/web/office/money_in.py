"""Money in: what is owed, what came and what is about to be billed, drawn by the week, and every invoice."""

from __future__ import annotations

from decimal import Decimal

from flask import abort, request
from flask_babel import gettext as _
from markupsafe import Markup

from portal.acts import desk
from portal.acts import money_in as act
from portal.acts.money_in import MoneyIn
from portal.core.money.weeks import BEFORE, Week
from portal.drawing.weeks import Bars, swatch, weeks_svg
from portal.web.security import parts, who
from portal.web.shared.pages import page, reads
from portal.web.shared.sketch import NARROW, WIDE


def money_in() -> str:
    """The weeks, the builders, and invoices, what is due first on top; of one builder where one is chosen."""
    every, company_id = request.args.get("show") == "all", request.args.get("builder", "")[:40]
    offset = request.args.get("offset", "0")
    if not offset.isdecimal() or len(offset) > 6:
        abort(404)
    look = act.look(parts(), who(), company_id)
    money = desk.money(parts(), who(), open_only=not every, offset=int(offset), company_id=company_id)
    return page(
        "office/money.html", look=look, money=money, every=every, offset=int(offset), chosen=company_id,
        drawn=_drawn(look), name_of=_name_of,
        swatches={kind: Markup(swatch(kind)) for kind in ("came", "late", "due", "to-bill")},
    )  # fmt: skip


def _drawn(look: MoneyIn) -> dict[str, Markup]:
    """The drawing, `wide` and `narrow`; nothing where there is nothing to draw."""
    if not (look.came or look.open or look.to_bill):
        return {}
    title = _("Money by the week")
    desc = _("Weeks to one scale. What came, falls due or will be billed stands on the line; what is late "
             "hangs under it. The table below says the same.")  # fmt: skip
    return {
        name: Markup(
            weeks_svg(
                [_bars(week, look.currency) for week in look.weeks], BEFORE + 1, title=title, desc=desc,
                today=_("this week"), width=width, ident=f"weeks-{name}",
            )
        )
        for name, width in (("wide", WIDE), ("narrow", NARROW))
    }  # fmt: skip


def _bars(week: Week, currency: str) -> Bars:
    def said(amount: Decimal) -> str:
        return reads().whole_money(amount, currency) if amount else ""

    ends = _("before") if week.first is None else _("later") if week.last is None else ""
    letters = ends or reads().short_day(week.first)
    return Bars(
        letters, float(week.came), float(week.late), float(week.due), float(week.to_bill),
        said(week.came), said(week.ahead), said(week.late),
    )  # fmt: skip


def _name_of(week: Week) -> str:
    """A week in the table: by its first day."""
    if week.first is None:
        return str(_("Before that"))
    if week.last is None:
        return str(_("Later"))
    return str(_("Week of %(day)s", day=reads().day(week.first)))
