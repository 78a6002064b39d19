"""The takeoff form without a lot: a new house plan, and the next edition of one."""

from __future__ import annotations

from typing import Any

from flask import flash, redirect, request, url_for
from flask_babel import gettext as _

from portal.acts import plan_views, plans
from portal.core.errors import BadInput, Overtaken, Refused
from portal.web.builder.looking import Answer
from portal.web.builder.plan_forms import EditionPage, NewEditionForm, NewPlanForm, PlanPage
from portal.web.security import parts, who
from portal.web.shared import figures, house_form, takeoff_page
from portal.web.shared.pages import fresh_once_key
from portal.web.shared.takeoff_page import TakeoffPage


def new_plan() -> Answer:
    """Make a house plan: first with figures, then for good."""
    if request.method == "POST":
        form = takeoff_page.sent_as(PlanPage)
    else:
        form = PlanPage(NewPlanForm(formdata=None), house_form.first_form(), once_key=fresh_once_key())
    if form.to_send():
        name, remark = form.lot.name.data, form.lot.note.data
        try:
            plan_id = plans.make(parts(), who(), name, form.document(), remark, form.once_key)
        except BadInput as bad:
            form.add(bad.problems)
        else:
            flash(_("Kept. A lot can be asked for from it now."))
            return redirect(url_for("builder.plan", plan_id=plan_id))
    lead = _("Enter the house once. Every lot asked for from it starts with this takeoff.")
    back = url_for("builder.plans")
    return _page(form, heading=_("Make a house plan"), lead=lead, send_words=_("Keep this house plan"),
                 cancel=back, plan=None)  # fmt: skip


def new_edition(plan_id: str) -> Answer:
    """Enter the next edition of a plan. Lots made from an older one keep that."""
    plan = plan_views.plan_view(parts(), who(), plan_id)
    back = url_for("builder.plan", plan_id=plan_id)
    form = takeoff_page.sent_as(EditionPage) if request.method == "POST" else _begin(plan)
    if form.to_send():
        try:
            number = plans.enter_edition(
                parts(), who(), plan_id, form.version, form.document(), form.lot.note.data, form.once_key
            )
            flash(_("Kept as edition %(number)s.", number=number))
            return redirect(back)
        except BadInput as bad:
            form.add(bad.problems)
        except Overtaken as overtaken:
            form.overtake(overtaken, plan.version)
        except Refused as refused:
            form.refuse(refused)
    heading = _("%(plan)s: edition %(number)s", plan=plan.name, number=plan.newest.number + 1)
    lead = _("Edition %(number)s stands below. Change what has changed; lots made from it stay as they are.",
             number=plan.newest.number)  # fmt: skip
    return _page(form, heading=heading, lead=lead, send_words=_("Keep this edition"), cancel=back, plan=plan)


def _begin(plan: plan_views.PlanView) -> EditionPage:
    house = house_form.from_document(plan.newest.house)
    found = EditionPage(NewEditionForm(formdata=None), house, version=plan.version)
    found.once_key = fresh_once_key()
    found.work_out()
    return found


def _page(form: TakeoffPage, **values: Any) -> Answer:
    return form.answer(
        "builder/plan_entry.html",
        redraw_url=url_for("builder.redraw"),
        figures=figures.fresh(form.figures, "builder"),
        subdivisions=(),
        **values,
    )
