"""A builder's house plans: the list, and one plan with its drawing, its editions and what changed."""

from __future__ import annotations

from typing import Any

from flask import request, url_for
from flask_babel import gettext as _

from portal.acts import estimating, plan_views
from portal.acts.estimating import Figures
from portal.acts.plan_views import EditionView, LotMade, PlanRow, PlanView
from portal.core.changes import Change
from portal.core.errors import BadInput, NotFound
from portal.core.pricing.offer import LABELS
from portal.web.builder.plan_forms import BringBackForm, CopyForm, RenameForm, RetireForm
from portal.web.security import parts, who
from portal.web.shared import figures, rows, sketch, words
from portal.web.shared.pages import fresh_once_key, page, reads, told
from portal.web.shared.sheet_form import SheetForm


def plans() -> str:
    """All plans; the retired ones stand apart."""
    found = plan_views.list_plans(parts(), who())
    return page(
        "builder/plans.html",
        offered=[_listed(row) for row in found if not row.retired],
        retired=[_listed(row) for row in found if row.retired],
    )


def _listed(row: PlanRow) -> list[Any]:
    name = {"text": row.name, "url": url_for("builder.plan", plan_id=row.id)}
    if not row.feet:
        return [name, row.edition, _("cannot be worked out"), "", row.lots]
    return [
        name, row.edition, reads().fixed(row.feet), reads().money(row.price, row.currency), row.lots
    ]  # fmt: skip


def plan(plan_id: str) -> str:
    """One plan."""
    return plan_page(plan_id)


def plan_page(plan_id: str, typed: SheetForm | None = None, overtaken_by: str = "", refusal: str = "") -> str:
    """The page of a plan; `typed` is a form of it that could not be done, shown as it was sent."""
    found = plan_views.plan_view(parts(), who(), plan_id)
    shown = found.edition(request.args.get("edition", type=int))
    if shown is None:
        raise NotFound("edition of the plan")
    result = _worked_out(shown)
    values: dict[str, Any] = {
        "plan": found, "shown": shown, "answer": result.answer if result else None,
        "figures": figures.fresh(result, "builder"),
        "drawings": sketch.drawings(shown.house), "title_rows": _title_rows(found, shown),
        "walls": rows.quoted_walls(sketch.walls_of(shown.house)), "lots": [_made(lot) for lot in found.lots],
        "editions": [_edition(found, edition) for edition in found.editions],
        "changed": _changed(found, shown), "forms": _forms(found, shown, typed),
        "typed": typed, "overtaken_by": overtaken_by, "refusal": refusal,
        "once": request.form.get("once_key") or fresh_once_key(),
    }  # fmt: skip
    return page("builder/plan.html", **values)


def _worked_out(edition: EditionView) -> Figures | None:
    try:
        return estimating.work_out(parts(), who(), edition.house)
    except BadInput:
        # An edition of today may refuse what was taken when this one was entered; the plan is shown without.
        return None


def _title_rows(plan: PlanView, shown: EditionView) -> list[tuple[Any, Any]]:
    stories = sum(int(level.get("repeat", 1)) for level in shown.house["levels"])
    return [
        (_("House plan"), plan.name),
        (_("Builder"), who().company),
        (_("Stories"), stories),
        (_("Edition"), _("%(number)s of %(count)s", number=shown.number, count=plan.newest.number)),
        (_("Entered"), _day(shown)),
    ]


def _day(edition: EditionView) -> str:
    return reads().day(edition.entered_at.astimezone(parts().zone).date())


def _edition(plan: PlanView, edition: EditionView) -> list[Any]:
    address = url_for("builder.plan", plan_id=plan.id, edition=edition.number)
    name = {"text": _("Edition %(number)s", number=edition.number), "url": address}
    count = sum(lot.edition == edition.number for lot in plan.lots)
    return [name, _day(edition), edition.entered_by, edition.note, count]


def _made(lot: LotMade) -> list[Any]:
    name = {"text": f"{lot.name}, {lot.address}", "url": url_for("builder.lot", lot_id=lot.id)}
    edition = _("%(number)s, mirrored", number=lot.edition) if lot.mirrored else lot.edition
    return [name, edition, words.stage_words(lot.stage, "builder")]


def _changed(plan: PlanView, shown: EditionView) -> dict[str, Any] | None:
    """The two editions compared: the one shown, and the one asked for or the one before it."""
    others = [edition for edition in plan.editions if edition.number != shown.number]
    if not others:
        return None
    asked = request.args.get("since", type=int)
    before = next((e for e in others if e.number == asked), None)
    before = before or next((e for e in others if e.number < shown.number), others[0])
    found = plan_views.changes(parts(), who(), before.house, shown.house)
    return {
        "before": before, "others": others,
        "options": [(e.number, _("Edition %(number)s", number=e.number)) for e in others],
        "feet": [_of_feet(row) for row in found.feet] if found else [],
        "price": [_of_price(row, found.currency) for row in found.price] if found else [],
    }  # fmt: skip


def _of_feet(row: Change) -> list[Any]:
    what = {
        "exterior": _("%(story)s, exterior", story=row.story),
        "interior": _("%(story)s, interior", story=row.story), "rounding": _("Rounding"),
        "total": _("Lineal feet"),
    }[row.what]  # fmt: skip
    if row.was:
        what = _("%(what)s (was %(story)s)", what=what, story=row.was)
    shown = ["" if feet is None else rows.feet(feet) for feet in (row.before, row.after)]
    return [what, *shown, rows.signed(rows.feet, row.difference)]


def _of_price(row: Change, currency: str) -> list[Any]:
    sums = {"discount": _("Discount"), "tax": _("Tax"), "total": _("Price")}
    what = sums.get(row.what) or told(LABELS[row.what])

    def money(amount: Any) -> str:
        return reads().money(amount, currency)

    return [what, money(row.before), money(row.after), rows.signed(money, row.difference)]


def _forms(plan: PlanView, shown: EditionView, typed: SheetForm | None) -> dict[str, SheetForm]:
    copying = CopyForm.blank(edition=str(shown.number))
    naming = RenameForm.blank(called=plan.name)
    offered: list[SheetForm] = [
        copying,
        naming,
        BringBackForm.blank() if plan.retired_at else RetireForm.blank(),
    ]
    found = {form.name: form for form in offered}
    for form in offered:
        form.version.data = str(plan.version)
    return found | {typed.name: typed} if typed is not None and typed.name in found else found
